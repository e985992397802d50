"""The story of a shop as its log tells it: chapter by chapter, each number with its why down to the rows of the file."""

from __future__ import annotations

from pullwright.web.desk import AtDesk
from pullwright.web.log_chapters import Chapter, Teller
from pullwright.web.opened_log import LOOK_AGAIN, AboutLog, LogKey, LogStages, Waiting, open_log_sheet
from pullwright.web.pages import Pages
from pullwright.web.pieces import Found


class LogStoryPage(AboutLog):
    """The story of one log."""

    chapters: tuple[Chapter, ...] = ()
    aside: int = 0
    aside_href: str = ""


def log_story(log: LogKey, desk: AtDesk) -> LogStoryPage:
    """What happened in the shop: lead time, bottleneck, work and waiting, the way through, scrap, working time?"""
    opened = open_log_sheet(desk, log)
    stages, about = LogStages(desk, opened), opened.about("The story", "The story")
    try:
        telling = stages.telling()
        chapters = stages.drawn("chapters", Teller(opened, telling).chapters)
    except Waiting:
        return LogStoryPage(
            found=Found(text=f"The story of {opened.file} is being worked out."), under_way=LOOK_AGAIN, **about
        )
    return LogStoryPage(
        found=Found(text=telling.story.found),
        chapters=chapters,
        aside=telling.decided.aside.height,
        aside_href=opened.part("aside.csv"),
        **about,
    )


def register(pages: Pages) -> None:
    """Add the story."""
    pages.page("/logs/{log}/story", log_story, "log_story.html")
