"""What a person or a program is told when something cannot be done: what was read, what is allowed, what to do next."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from starlette.exceptions import HTTPException

PROBLEM_JSON = "application/problem+json"


@dataclass(frozen=True, slots=True)
class ProblemKind:
    """One status: its slug for programs, its first line for people, what is allowed and what to do next."""

    slug: str
    title: str
    allowed: str
    todo: str


PROBLEMS: dict[int, ProblemKind] = {
    400: ProblemKind(
        "unreadable",
        "This request could not be read.",
        "A request as a browser sends it: whole, and in plain text.",
        "Go back and send it again. If it comes from a program of yours, look at what it sends.",
    ),
    403: ProblemKind(
        "not-from-here",
        "Nothing was changed: this request did not come from one of our own pages.",
        "Changes are taken only from a form that this workbench has shown to you.",
        "Open the page here, fill in its form and send it again.",
    ),
    404: ProblemKind(
        "nothing-here",
        "Nothing is kept at this address.",
        "The addresses that are linked from the first page.",
        "Start from the first page, or look for a slip in the address.",
    ),
    405: ProblemKind(
        "wrong-method",
        "This address cannot be used in that way.",
        "Pages are read (GET, HEAD); forms are sent (POST).",
        "Open the page and use the form on it.",
    ),
    408: ProblemKind(
        "too-slow",
        "Nothing was changed: what was sent stopped arriving half-way.",
        "A request that keeps coming and is whole within two minutes.",
        "Go back and send it again, nearer to the network if it is a weak one.",
    ),
    409: ProblemKind(
        "changed-meanwhile",
        "Nothing was changed: somebody else has changed this in the meantime.",
        "A change that starts from the latest revision.",
        "Open the latest revision, compare it with yours, and send yours again on top of it.",
    ),
    413: ProblemKind(
        "too-large",
        "Nothing was changed: what was sent is too large.",
        "2.5 megabytes for everything that is sent at once.",
        "Go back and send less: shorten it, or send it in parts. Keep a copy of what you typed; not every browser brings it back.",
    ),
    414: ProblemKind(
        "address-too-long",
        "This address is too long to be one of ours.",
        "1024 characters for the path and 2048 for what follows the question mark.",
        "Start from the first page.",
    ),
    415: ProblemKind(
        "unknown-content",
        "Nothing was changed: what was sent is of a kind that is not read here.",
        "A form (multipart/form-data, or application/x-www-form-urlencoded when it is small).",
        "Send it from the form on the page, or name the right Content-Type.",
    ),
    421: ProblemKind(
        "other-host",
        "This workbench does not answer under that name.",
        "The names that it was started with.",
        "Open it under one of those names, or start it with the name you want to use.",
    ),
    422: ProblemKind(
        "not-allowed-value",
        "Nothing was changed: something that was sent is not allowed.",
        "See beside each entry.",
        "Correct the entries named below and send them again.",
    ),
    429: ProblemKind(
        "too-many",
        "Nothing was changed: too many changes were sent from your place in a short time.",
        "A few dozen changes at once, then about one a second.",
        "Wait a little, go back (what you typed is still there) and send it again.",
    ),
    500: ProblemKind(
        "our-fault",
        "Something broke on our side; it is not your fault.",
        "",
        "Go back and try again. If it happens again, tell whoever looks after this workbench the reference below.",
    ),
    503: ProblemKind(
        "busy",
        "The workbench is too busy to answer.",
        "",
        "Wait a little and try again.",
    ),
}


@dataclass(frozen=True, slots=True)
class Wrong:
    """One entry that is not allowed: the name of the field and what is wrong with it."""

    field: str
    message: str


@dataclass(frozen=True, slots=True)
class NextStep:
    """Where to go from a page that says what could not be done: the words of the link and an address of ours."""

    words: str
    href: str


class Problem(HTTPException):
    """Something cannot be done, said so that the reader knows what to do next.

    Parameters: `status` is a key of `PROBLEMS`; `read` says what was read; `allowed`, `todo` and `title` replace the words
    of the table where there is something better to say; `wrong` names single entries; `steps` are places to go next;
    `headers` go with the answer.

    >>> str(Problem(404, "the line 'honing'").read)
    "the line 'honing'"
    >>> Problem(404, "x").title
    'Nothing is kept at this address.'
    """

    def __init__(
        self,
        status: int,
        read: str,
        *,
        title: str = "",
        allowed: str = "",
        todo: str = "",
        wrong: tuple[Wrong, ...] = (),
        steps: tuple[NextStep, ...] = (),
        reference: str = "",
        headers: Mapping[str, str] | None = None,
    ) -> None:
        kind = PROBLEMS.get(status, PROBLEMS[500 if status >= 500 else 400])
        super().__init__(status, title or kind.title, headers)
        self.slug = kind.slug
        self.title = title or kind.title
        self.read = read
        self.allowed = allowed or kind.allowed
        self.todo = todo or kind.todo
        self.wrong = wrong
        self.steps = steps
        self.reference = reference

    def as_dict(self, address: str) -> dict[str, object]:
        """Return the problem as RFC 9457 puts it; `address` is the path that was asked for."""
        body: dict[str, object] = {
            "type": f"urn:pullwright:problem:{self.slug}",
            "title": self.title,
            "status": self.status_code,
            "detail": f"Read: {self.read}." + (f" Allowed: {self.allowed}" if self.allowed else ""),
            "instance": address,
            "read": self.read,
            "allowed": self.allowed,
            "todo": self.todo,
            "errors": [{"field": entry.field, "message": entry.message} for entry in self.wrong],
        }
        if self.reference:
            body["reference"] = self.reference
        return body


def wants_json(path: str, accept: str) -> bool:
    """Say whether the answer goes to a program: the address ends in `.json`, or JSON is liked better than a page.

    >>> wants_json("/lines.json", ""), wants_json("/", "text/html,*/*;q=0.8"), wants_json("/", "application/json")
    (True, False, True)
    """
    if path.endswith(".json"):
        return True
    liking = {"json": 0.0, "html": 0.0}
    for offer in accept.split(","):
        kind, _, rest = offer.partition(";")
        weight = 1.0
        for setting in rest.split(";"):
            name, _, value = setting.partition("=")
            if name.strip() == "q":
                try:
                    weight = float(value)
                except ValueError:
                    weight = 0.0
        kind = kind.strip().lower()
        if kind in ("application/json", PROBLEM_JSON):
            liking["json"] = max(liking["json"], weight)
        elif kind in ("text/html", "application/xhtml+xml"):
            liking["html"] = max(liking["html"], weight)
    return liking["json"] > liking["html"]
