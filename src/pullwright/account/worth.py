"""What a piece has cost by the time it lies in a place, and the money that therefore lies in every stock."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from pullwright.account.content import Contents
from pullwright.figure import Figure, derive
from pullwright.flow import Flow
from pullwright.flow.stock import Stock


@dataclass(frozen=True, slots=True)
class HeldMoney:
    """The money that lies in one stock: what a piece has cost (money/piece), what the flow needs of it, and what is beyond (money)."""

    stock: Stock
    piece: Figure
    needed: Figure
    beyond: Figure


def held_money(flow: Flow, stocks: tuple[Stock, ...], contents: Contents, wage: Figure) -> tuple[HeldMoney, ...]:
    """How much money lies in each stock, by what its pieces have cost? A queue without end that nobody counted is left out."""
    return tuple(_held(flow, contents, wage, stock) for stock in stocks if np.isfinite(stock.held.value))


def _held(flow: Flow, contents: Contents, wage: Figure, stock: Stock) -> HeldMoney:
    piece = cost_of_piece(flow, contents, wage, stock)
    held = derive(
        f"money in stock / {stock.words}",
        lambda n, w: np.where(np.isfinite(n), n, 0.0) * w,
        stock.held,
        piece,
        unit="money",
        formula="stock held x what a piece has cost",
    )
    beyond = derive(
        f"money in stock beyond / {stock.words}",
        lambda b, w: np.where(np.isfinite(b), b, 0.0) * w,
        stock.beyond,
        piece,
        unit="money",
        formula="stock beyond what is needed x what a piece has cost",
    )
    needed = derive(
        f"money in stock needed / {stock.words}",
        lambda h, b: h - b,
        held,
        beyond,
        unit="money",
        formula="money in the stock - money in what is beyond",
    )
    return HeldMoney(stock, piece, needed, beyond)


def cost_of_piece(flow: Flow, contents: Contents, wage: Figure, stock: Stock) -> Figure:
    """What has a piece cost that lies in this stock (money/piece)? Its parts and the hands in it, at the average `wage` (money/s)."""
    if stock.part is not None:
        return flow.givens.figure(("parts", stock.part, "price"))
    return derive(
        f"cost of a piece / {stock.words}",
        lambda p, h, w: p + h * w,
        contents.material(stock),
        contents.hands(stock),
        wage,
        unit="money/piece",
        formula="parts in it + hands in it x average wage",
    )
