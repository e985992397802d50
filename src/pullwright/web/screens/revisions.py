"""The revisions of a line: who wrote which, when and why; two to compare, and an old one to be put back."""

from __future__ import annotations

from pullwright.web.desk import AtDesk, Desk
from pullwright.web.difference import TextDifference, difference_of
from pullwright.web.forms import Filled, Form
from pullwright.web.opened import Key, Number, open_line
from pullwright.web.pages import Done, FormPage, Pages
from pullwright.web.pieces import Crumb, Found, RevisionLine
from pullwright.web.saving import BASED_ON, PRESS, WHO, WHY, save
from pullwright.web.screens.about_line import AboutLine, about
from pullwright.web.way import line_way

RESTORE = Form("restore", BASED_ON, WHO, WHY, PRESS)


class RevisionsPage(AboutLine):
    """Every revision of a line, the latest first."""

    revisions: tuple[RevisionLine, ...]
    latest: int
    compare: str


class RestorePage(FormPage):
    """An earlier revision, to be put back as a new one; `difference` is what that would change."""

    key: str
    number: int
    title: str
    difference: TextDifference
    overtaken_by: int | None = None


def revisions(key: Key, desk: AtDesk) -> RevisionsPage:
    """How did this line come to be what it is?"""
    opened = open_line(desk, key)
    every = desk.record.revisions(key)
    lines = tuple(
        RevisionLine(
            number=one.number,
            who=one.who,
            when=one.when,
            why=one.why,
            href=line_way(key, one.number).base,
            latest=one.number == opened.latest,
        )
        for one in reversed(every)
    )
    count = "one revision" if len(lines) == 1 else f"{len(lines)} revisions"
    return RevisionsPage(
        name="Revisions",
        found=Found(text=f"{opened.title} has {count}; {lines[0].who} wrote the latest."),
        trail=opened.trail(),
        places=opened.places("Revisions"),
        revisions=lines,
        latest=opened.latest,
        compare=opened.way.part("compare"),
        **about(opened),
    )


def restore(key: Key, number: Number, desk: AtDesk) -> RestorePage:
    """What would it change to put this revision back?"""
    opened = open_line(desk, key)
    old = desk.record.revision(key, number)
    name = f"Put revision {number} back"
    return RestorePage(
        name=name,
        found=Found(
            text=f"Put revision {number} of {opened.title} back: its text becomes revision {opened.latest + 1}, and nothing is lost."
        ),
        trail=(*opened.trail(), Crumb(words="Revisions", href=opened.way.part("revisions"))),
        places=opened.places("Revisions"),
        key=key,
        number=number,
        title=opened.title,
        difference=difference_of(opened.worked_out.text, old.text),
        start={BASED_ON.name: str(opened.latest)},
    )


def put_back(page: RestorePage, filled: Filled, desk: Desk) -> Done | Filled:
    """Save the text of the earlier revision as the next one."""
    old = desk.record.revision(page.key, page.number)
    worked_out = desk.shelf.of(old.text, f"{page.key}.yaml")
    if worked_out.survey is None:
        count = len(worked_out.faults) + worked_out.more_faults
        return filled.back(
            notice=f"Nothing was saved: revision {page.number} cannot be read as a line file ({count} {'fault' if count == 1 else 'faults'}). "
            "Change it as text instead."
        )
    return save(filled, desk, page.key, old.text)


def register(pages: Pages) -> None:
    """Add the list of revisions, and the page on which one is put back."""
    pages.page("/lines/{key}/revisions", revisions, "revisions.html")
    pages.form("/lines/{key}/revisions/{number}/restore", restore, "restore.html", form=RESTORE, act=put_back)
