"""The steps of a drafted line file and the studies that their times come from."""

from __future__ import annotations

import math
from collections import Counter
from typing import TYPE_CHECKING, Any

from pullwright.line.writing import flow

from .draft_visits import Visit, rows_told, spread_evenly
from .draft_words import duration, many, rounded

if TYPE_CHECKING:
    from .draft_shop import Shop, Storied
    from .draft_text import Page

ENOUGH = 5
"""So many visits of a product make it worth a time of its own."""
APART = 0.10
"""Products whose times differ by more than this, and by more than chance, get times of their own."""
SELDOM = 0.1
"""Set-ups that are booked before fewer visits than this are not drafted: somebody forgot to book the others."""
LONGEST_TIME = 300_000_000.0


class _Writer:
    def __init__(self, page: Page, shop: Shop, story: Storied, most: int) -> None:
        self.page, self.shop, self.story, self.most = page, shop, story, most
        self.studies: list[str] = []
        self.taken = 0

    def time(self, visits: list[Visit], of: str) -> tuple[dict[str, Any], str]:
        """A time a piece as it stands in the file (a study, or a mean), and what is to be said of it."""
        shop = self.shop
        seen = [(visit, visit.run / shop.pieces(visit)) for visit in visits if shop.pieces(visit) > 0 and visit.rows]
        seen = [(visit, value) for visit, value in seen if 0 < value < LONGEST_TIME]
        seen.sort(key=lambda pair: pair[0].start)
        total, pieces = sum(visit.run for visit in visits), sum(shop.pieces(visit) for visit in visits)
        if not seen:
            nothing = f"{many(len(visits), 'visit')}, none with a time and pieces: 1 s stands here so that the line can be read. Time it."
            return {
                "mean": "1 s",
                "from": rows_told((row for visit in visits for row in visit.rows), shop.file),
            }, nothing
        overall = total / pieces if pieces > 0 else float("nan")
        plain = sum(value for _, value in seen) / len(seen)
        cv = _cv([value for _, value in seen])
        picked = spread_evenly(seen, self.most)
        shown = sum(value for _, value in picked) / len(picked) if picked else float("nan")
        first = rows_told((visit.rows[0] for visit, _ in seen), shop.file)
        said = f"{many(len(seen), 'visit')}, {duration(overall)} a piece over all of them; first {first}."
        if len(seen) > len(picked):
            said += f" {len(picked)} readings are written down, picked evenly over the log." if picked else ""
        if picked and overall == overall and abs(shown - overall) <= 0.1 * overall:
            return {"study": self._study(picked, of)}, said
        why = (
            " Small lots take another time a piece than large ones: the mean weighs every piece alike."
            if abs(plain - overall) > 0.1 * overall
            else ""
        )
        value: dict[str, Any] = {"mean": duration(max(overall, 0.1))}
        if cv == cv and cv > 0:
            value["cv"] = float(rounded(min(cv, 5.0)))
        return {**value, "from": f"{many(len(seen), 'visit')}, {first}"}, said + why

    def _study(self, picked: list[tuple[Visit, float]], of: str) -> str:
        self.taken += 1
        name = f"L-{self.taken:03d}"
        file = self.shop.file
        head = {"name": name, "of": of, "who": "log", "from": file}
        self.studies.append(f"  - name: {name}")
        self.studies.extend(f"    {key}: {flow(value)}" for key, value in head.items() if key != "name")
        self.studies.append("    readings:")
        for visit, value in picked:
            many = len(visit.rows)
            told = f"row {visit.rows[0]} of {file}" if many == 1 else f"{many} rows from row {visit.rows[0]} of {file}"
            read = {"value": duration(value), "on": str(visit.start.date()), "from": told}
            self.studies.append(f"      - {flow(read)}")
        return name


def studies_and_steps(page: Page, shop: Shop, story: Storied, most: int) -> list[str]:
    """Write the steps; gives the lines of the studies that belong to them."""
    writer = _Writer(page, shop, story, most)
    page.lines.append("")
    page.say(
        0,
        "The way through, in the usual order. Times are for one piece"
        + ("" if shop.unit == "pieces" else ", which here is one order: the log books no pieces")
        + ". Their spread is from lot to lot.",
    )
    if story.people.says:
        page.say(
            0, "They stand as work by hand, because people book them; what a machine does alone belongs behind machine."
        )
    if shop.asides:
        hours = sum(seconds for _, _, seconds in shop.asides) / 3600
        page.say(0, f"Left out, because no product usually goes through them ({rounded(hours)} hours in all):")
        for step, visits, seconds in shop.asides[:40]:
            page.say(2, f"{step}: {many(visits, 'visit')}, {rounded(seconds / 3600)} h")
        page.left_out.append(
            f"{len(shop.asides):,} steps that no product usually goes through ({rounded(hours)} hours in all)"
        )
    for one, other in shop.beside[:20]:
        page.say(
            0,
            f"{one} and {other} often go on at the same time for one order: two sub-flows? Then give each its own after.",
        )
    page.put("steps:")
    for at, step in enumerate(shop.steps):
        page.lines.append("")
        _step(writer, at, step)
    return writer.studies


def _step(writer: _Writer, at: int, step: str) -> None:
    page, shop = writer.page, writer.shop
    visits, name = shop.visits[step], shop.step_names[step]
    page.put(f"  - name: {flow(name)}")
    where = Counter(visit.station for visit in visits)
    main = where.most_common(1)[0][0]
    page.put(f"    station: {flow(shop.station_names[main])}")
    others = [(station, count) for station, count in where.most_common() if station != main]
    if others:
        page.put("    also_at:", "do they take equally long there? If not, say times: 130 %")
        for station, count in others:
            rows = [visit.rows[0] for visit in visits if visit.station == station and visit.rows]
            share = {"count": count, "of": len(visits), "from": rows_told(rows, shop.file)}
            page.put(f"      - {flow({'station': shop.station_names[station], 'share': share})}")
    if shop.heads:
        if step in shop.heads:
            page.put("    after: []", "orders go on side by side here")
        elif at == len(shop.heads):
            page.put(f"    after: {flow([shop.step_names[head] for head in shop.heads])}", "where they join")
    on = [product for product in shop.products if step in shop.through[product]]
    if len(on) < len(shop.products):
        page.put(f"    for: {flow([shop.product_names[product] for product in on])}", "the others usually skip it")
    _work(writer, step, visits, on)
    _set_up(writer, step, visits, name)
    _yield(writer, step, visits)


def _work(writer: _Writer, step: str, visits: list[Visit], on: list[str]) -> None:
    page, shop = writer.page, writer.shop
    by = "manual" if writer.story.people.says else "machine"
    groups = _apart(shop, visits, on)
    if not groups:
        value, said = writer.time(visits, shop.step_names[step])
        page.say(4, said)
        page.put(f"    {by}: {flow(value)}")
        return
    page.put("    elements:")
    for products in groups:
        some = [visit for visit in visits if shop.product_of[visit.case] in products]
        names = [shop.product_names[product] for product in products]
        what = f"work on {names[0]}" if len(names) == 1 else "work on the others"
        value, said = writer.time(
            some, f"{shop.step_names[step]}, {names[0] if len(names) == 1 else 'the others'}"[:200]
        )
        page.say(6, said)
        line = {
            "what": what[:80],
            by: value,
            "kind": "needed",
            "for": names,
            "because": "nobody has said yet what of it adds value",
        }
        page.put(f"      - {flow(line)}")


def _apart(shop: Shop, visits: list[Visit], on: list[str]) -> list[list[str]]:
    """Products in groups that take different times: each that is far from the rest alone; [] where all are alike."""
    values: dict[str, list[float]] = {product: [] for product in on}
    for visit in visits:
        product = shop.product_of[visit.case]
        if product in values and shop.pieces(visit) > 0 and visit.run > 0:
            values[product].append(math.log(visit.run / shop.pieces(visit)))
    alone = []
    for product in on:
        own = values[product]
        rest = [value for other in on if other != product for value in values[other]]
        if len(own) < ENOUGH or len(rest) < ENOUGH:
            continue
        gap = abs(_mean(own) - _mean(rest))
        if gap > max(APART, 2 * math.sqrt(_var(own) / len(own) + _var(rest) / len(rest))):
            alone.append(product)
    others = [product for product in on if product not in alone]
    if not alone:
        return []
    if others and not any(values[product] for product in others):
        return []
    return [*([product] for product in alone), *([others] if others else [])]


def _set_up(writer: _Writer, step: str, visits: list[Visit], name: str) -> None:
    page, shop = writer.page, writer.shop
    mine = next((one for one in writer.story.steps.steps if one.step == step), None)
    sizes = [shop.pieces(visit) for visit in visits if shop.pieces(visit) > 0]
    size = max(1, round(_mean(sizes))) if sizes and shop.unit == "pieces" else 1
    marked = [visit for visit in visits if visit.setup > 0]
    if marked and len(marked) < SELDOM * len(visits):
        page.say(
            4,
            f"Set-ups are booked before {len(marked):,} of {many(len(visits), 'visit')} only, {duration(_mean([v.setup for v in marked]))} each: too few to draft from. Who sets up here, and when?",
        )
        marked = []
    every = len(visits) / len(marked) if marked else mine.setup_every if mine is not None else float("nan")
    lot = max(size, round(size * every)) if every == every and every > 0 else size
    if marked:
        rows = [visit.setup_rows[0] for visit in marked]
        value: dict[str, Any] = {"mean": duration(max(_mean([visit.setup for visit in marked]), 0.1))}
        cv = _cv([visit.setup for visit in marked])
        if cv == cv and cv > 0:
            value["cv"] = float(rounded(min(cv, 5.0)))
        value["from"] = f"{many(len(marked), 'set-up')}, {rows_told(rows, shop.file)}"
        page.put(
            f"    set_up: {flow({'time': value})}", f"booked as set-up before {len(marked):,} of {len(visits):,} visits"
        )
    elif mine is not None and mine.setup_from and mine.setup.known and mine.setup.value > 0:
        value = {
            "mean": duration(mine.setup.value),
            "from": f"{mine.setup.count:,} changes of product, {rows_told(mine.setup.rows, shop.file)}",
        }
        page.put(
            f"    set_up: {flow({'time': value})}",
            "not booked: first visits after a change of product take so much longer. It is in the time above too: watch one",
        )
    if lot > 1:
        page.put(
            f"    lot: {min(lot, 10_000_000)}",
            f"{rounded(_mean(sizes))} pieces a visit"
            + (f", a set-up every {rounded(every)} visits" if lot > size else ""),
        )
    if lot > size:
        page.put(f"    transfer_lot: {size}", "an order is handed on when it is done")


def _yield(writer: _Writer, step: str, visits: list[Visit]) -> None:
    page, shop = writer.page, writer.shop
    made = round(sum(visit.pieces or 0.0 for visit in visits))
    thrown = round(sum(visit.scrapped for visit in visits))
    if made > 0 and 0 < thrown < made:
        rows = [visit.rows[-1] for visit in visits if visit.scrapped > 0 and visit.rows]
        page.put(f"    scrap: {flow({'count': thrown, 'of': made, 'from': rows_told(rows, shop.file)})}")
    held = round(sum(visit.held for visit in visits))
    if held:
        page.say(
            4,
            f"{held:,} of {made:,} pieces were put aside for somebody to decide; they count as good here. What became of them?",
        )
    back = shop.loops.get(step)
    if back and 2 * back[1] <= len(visits):
        to, count, rows = back
        share = {"count": count, "of": len(visits), "from": rows_told(rows, shop.file)}
        page.put(
            f"    rework: {flow({'share': share, 'to': shop.step_names[to]})}",
            "orders that went back: done again, or their usual way? All their pieces, or some?",
        )
        return
    if back:
        page.say(
            4,
            f"After {back[1]:,} of {len(visits):,} visits orders went back to {back[0]}: more than half, which is no rework but another way. Look.",
        )
    again = [visit for visit in visits if visit.marked_again and not visit.again]
    if again and 2 * len(again) <= len(visits):
        share = {
            "count": len(again),
            "of": len(visits),
            "from": rows_told((v.rows[0] for v in again if v.rows), shop.file),
        }
        page.put(f"    rework: {flow({'share': share})}", "booked as done again")


def _mean(values: list[float]) -> float:
    return sum(values) / len(values) if values else float("nan")


def _var(values: list[float]) -> float:
    mean = _mean(values)
    return sum((value - mean) ** 2 for value in values) / (len(values) - 1) if len(values) > 1 else 0.0


def _cv(values: list[float]) -> float:
    mean = _mean(values)
    return math.sqrt(_var(values)) / mean if len(values) > 1 and mean > 0 else float("nan")
