"""The four closed accounts of a line: hours, floor, material, money; the wastes in them; what propagation costs."""

from pullwright.account.line_accounts import Accounts, accounts_of
from pullwright.account.rows import Account, Row

__all__ = ["Account", "Accounts", "Row", "accounts_of"]
