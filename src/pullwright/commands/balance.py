"""`pullwright balance`: which post does which element, at as few posts as can be, or within as short a takt as can be."""

from __future__ import annotations

import re
from dataclasses import replace
from functools import cached_property
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any

import typer

from pullwright.commands.balance_tables import tell, tell_range
from pullwright.commands.terminal import print_json, stop

if TYPE_CHECKING:
    from pullwright.flow import Flow
    from pullwright.line import Line
    from pullwright.pull.balance.balance_figures import BalanceFigures
    from pullwright.pull.balance.of_line import Asked, LineBalance
    from pullwright.pull.balance.over_posts import AtPosts
    from pullwright.pull.balance.rounds_at_posts import WishedBalance
    from pullwright.pull.balance.tasks_table import Tasks
    from pullwright.pull.balance.wishes import Conditions


def register(app: typer.Typer) -> None:
    """Add the command to the command line."""
    app.command("balance")(balance)


def balance(
    file: Annotated[Path, typer.Argument(metavar="FILE", help="A table of tasks (TASKS.csv) or a line file (LINE.yaml).")],
    takt: Annotated[
        str | None, typer.Option(metavar="TIME", help='What each post has for its round: "60 s"; a line has its own, if nothing is said.')
    ] = None,
    posts: Annotated[int | None, typer.Option(metavar="N", help="The shortest takt with at most so many posts.")] = None,
    range_: Annotated[str | None, typer.Option("--range", metavar="A..B", help="The shortest takt for each number of posts.")] = None,
    most: Annotated[int | None, typer.Option(metavar="N", help="With a takt: at most so many posts.")] = None,
    people: Annotated[int | None, typer.Option(metavar="N", help="So many people may work at one post at once.")] = None,
    u_shaped: Annotated[bool, typer.Option("--u-shaped", help="The line is bent: a post can work where it begins and where it ends.")] = False,
    walking: Annotated[bool, typer.Option("--walking", help="Count the way between the places of a round (x, y), at 1.1 m/s.")] = False,
    overrun: Annotated[str | None, typer.Option(metavar="SHARE", help='So many rounds may take longer than the takt: "5 %".')] = None,
    load: Annotated[str | None, typer.Option(metavar="SHARE", help='No post is loaded above this share of the takt: "90 %".')] = None,
    together: Annotated[list[str] | None, typer.Option(metavar="A;B", help="Tasks that stay at one post; again for more.")] = None,
    apart: Annotated[list[str] | None, typer.Option(metavar="A;B", help="Tasks of which no two are at one post; again for more.")] = None,
    left_of: Annotated[list[str] | None, typer.Option(metavar="A;B", help="A is at an earlier post than B; again for more.")] = None,
    fixed: Annotated[list[str] | None, typer.Option(metavar="A=POST", help="A task stays at this post; again for more.")] = None,
    crew: Annotated[list[str] | None, typer.Option(metavar="NAME=N:SKILL;SKILL", help="Who is there, and what they can do (all, if nothing is said); again for more.")] = None,
    seconds: Annotated[float, typer.Option(metavar="S", help="Seconds to search.", min=0.1)] = 10.0,
    why: Annotated[str | None, typer.Option(metavar="NAME", help="Show why a number is what it is, down to its sources.")] = None,
    names: Annotated[bool, typer.Option("--names", help="List the names of all numbers.")] = False,
    as_json: Annotated[bool, typer.Option("--json", help="Print JSON for machines.")] = False,
) -> None:  # fmt: skip
    """Share out work among posts, so that each keeps the takt and every wish holds; prove that no fewer posts do."""
    from pullwright.pull.errors import BadPlanInput, NoSuchPlan

    if sum(one is not None for one in (posts, range_)) + (takt is not None) > 1:
        stop("name one of --takt, --posts and --range: the takt is given, or it is looked for.")
    wished = _Wished(
        takt,
        most,
        people,
        u_shaped,
        walking,
        overrun,
        load,
        together or [],
        apart or [],
        left_of or [],
        fixed or [],
        crew or [],
    )
    try:
        asked: _OfLine | _OfTable = _OfLine(file, wished, as_json) if _is_line(file) else _OfTable(file, wished)
        if posts is not None or range_ is not None:
            if range_ is not None:
                tell_range(asked.over(_counts(range_), seconds), as_json=as_json)
            else:
                shortest = asked.shortest(posts or 0, seconds)
                tell(shortest, asked.figures(shortest), None, file, why=why, names=names, as_json=as_json)
            return
        plan, figures, line = asked.balance(seconds)
        tell(plan, figures, line, file, why=why, names=names, as_json=as_json)
    except BadPlanInput as error:
        faults = getattr(error, "faults", None)
        if as_json and faults is not None:
            print_json({"file": str(file), "faults": [fault.as_dict() for fault in faults]})
        stop(str(error))
    except NoSuchPlan as error:
        if as_json:
            print_json(
                {"found": None, "sentence": str(error), "binding": list(error.binding), "instead": error.instead}
            )
        else:
            print(f"No such balance: {error}")
        raise typer.Exit(1) from None


class _Wished:
    """What stands behind the options, as it was typed."""

    def __init__(self, takt: str | None, most: int | None, people: int | None, u_shaped: bool, walking: bool, overrun: str | None, load: str | None, together: list[str], apart: list[str], left_of: list[str], fixed: list[str], crew: list[str]) -> None:  # fmt: skip
        self.takt, self.most, self.people, self.u_shaped, self.walking = takt, most, people, u_shaped, walking
        self.overrun, self.load = overrun, load
        self.together, self.apart = (
            [_names(one, "--together") for one in together],
            [_names(one, "--apart") for one in apart],
        )
        self.left_of = [_names(one, "--left-of") for one in left_of]
        for pair in self.left_of:
            if len(pair) != 2:
                stop(f'--left-of {"; ".join(pair)}: names two tasks, such as --left-of "cut;glue".')
        self.fixed = [_fixed(one) for one in fixed]
        self.crew = crew

    def seconds(self) -> float | None:
        """The takt in seconds."""
        if self.takt is not None and self.takt.strip().startswith(("-", "\N{MINUS SIGN}")):
            stop(
                f'--takt: {self.takt.strip()} is below nothing; allowed: a time above 0 s with its unit, such as "60 s".'
            )
        return None if self.takt is None else _quantity(self.takt, "duration", "--takt")

    def on(self, has: Conditions) -> Conditions:
        """These wishes on top of those of a table."""
        from pullwright.flow.assumed import ASSUMED
        from pullwright.pull.balance.wishes import Crew

        crews = []
        for one in self.crew:
            found = re.fullmatch(r"([^=:]+?)\s*(?:=\s*(\d+))?\s*(?::(.*))?", one.strip())
            if found is None:
                stop(f'--crew {one}: such as --crew "welders=2:weld;grind" (name, number, skills).')
            skills = (
                None if found[3] is None else frozenset(filter(None, (skill.strip() for skill in found[3].split(";"))))
            )
            crews.append(Crew(found[1], None if found[2] is None else int(found[2]), skills))
        return replace(
            has,
            together=(*has.together, *self.together),
            apart=(*has.apart, *self.apart),
            left_of=(*has.left_of, *((a, b) for a, b in self.left_of)),
            fixed=(*has.fixed, *self.fixed),
            crews=tuple(crews),
            people_at_a_post=self.people if self.people is not None else has.people_at_a_post,
            u_shaped=self.u_shaped or has.u_shaped,
            walking=ASSUMED["walking speed"][0] if self.walking else has.walking,
            overrun=has.overrun if self.overrun is None else _quantity(self.overrun, "share", "--overrun"),
            load=has.load if self.load is None else _quantity(self.load, "share", "--load"),
            most=self.most if self.most is not None else has.most,
        )

    def in_file(self, text: str) -> str:
        """A line file with these wishes in it."""
        from pullwright.line.edit import EditError, add_item, set_field

        if self.crew:
            stop("--crew: the crews of a line stand in its file (`people`).")
        around = ("plan", "balance")
        set_: list[tuple[str, Any]] = [
            ("takt", self.takt),
            ("posts", self.most),
            ("people_at_a_post", self.people),
            ("overrun", self.overrun),
            ("load", self.load),
        ]
        set_ += [("u_shaped", "yes" if self.u_shaped else None), ("walking", "yes" if self.walking else None)]
        added: list[tuple[str, Any]] = [
            *(("together", list(one)) for one in self.together),
            *(("apart", list(one)) for one in self.apart),
        ]
        added += [("left_of", {"element": a, "of": b}) for a, b in self.left_of]
        added += [("fixed", {"element": name, "post": post}) for name, post in self.fixed]
        try:
            for field, value in set_:
                text = text if value is None else set_field(text, (*around, field), value)
            for field, value in added:
                text = add_item(text, (*around, field), value)
        except EditError as error:
            stop(f"the wishes cannot be put into the line file: {error}")
        return text


class _OfTable:
    """A table of tasks."""

    def __init__(self, file: Path, wished: _Wished) -> None:
        from pullwright.pull.balance.tasks_table import read_tasks

        self.file, self.wished = file, wished
        self.tasks: Tasks = read_tasks(_text(file), file.name)
        self.has = wished.on(self.tasks.conditions)

    def over(self, counts: list[int], seconds: float) -> tuple[AtPosts, ...]:
        from pullwright.pull.balance.over_posts import over_posts

        return over_posts(self.tasks.work, counts, self.has, seconds=seconds)

    def shortest(self, count: int, seconds: float) -> WishedBalance:
        from pullwright.pull.balance.with_conditions import shortest_takt

        return shortest_takt(self.tasks.work, count, self.has, seconds=seconds)

    def figures(self, plan: WishedBalance) -> BalanceFigures:
        from pullwright.figure import Source, given
        from pullwright.pull.balance.balance_figures import balance_figures

        said = self.wished.takt is not None
        source = (
            Source("command line", f"--takt {self.wished.takt}")
            if said
            else Source("computed", "the shortest takt that was found")
        )
        return balance_figures(plan, given("takt", plan.takt, "s", source), self.tasks.times)

    def balance(self, seconds: float) -> tuple[WishedBalance, BalanceFigures, None]:
        from pullwright.pull.balance.with_conditions import balanced

        takt = self.wished.seconds()
        if takt is None:
            stop('name the takt (--takt "60 s"), the number of posts (--posts 5) or a range (--range 2..8).')
        plan = balanced(self.tasks.work, takt, self.has, seconds=seconds)
        return plan, self.figures(plan), None


class _OfLine:
    """A line file."""

    def __init__(self, file: Path, wished: _Wished, as_json: bool) -> None:
        from pullwright.flow import flow_of

        self.flow: Flow = flow_of(_line(file, wished, as_json))

    @cached_property
    def asked(self) -> Asked:
        from pullwright.pull.balance.of_line import asked_of

        return asked_of(self.flow)

    def over(self, counts: list[int], seconds: float) -> tuple[AtPosts, ...]:
        from pullwright.pull.balance.over_posts import over_posts

        return over_posts(self.asked.elements.work, counts, self.asked.conditions, seconds=seconds)

    def shortest(self, count: int, seconds: float) -> WishedBalance:
        from pullwright.pull.balance.with_conditions import shortest_takt

        return shortest_takt(self.asked.elements.work, count, self.asked.conditions, seconds=seconds)

    def figures(self, plan: WishedBalance) -> BalanceFigures:
        from pullwright.figure import Source, given
        from pullwright.pull.balance.balance_figures import balance_figures

        takt = given("shortest takt", plan.takt, "s", Source("computed", "the shortest takt that was found"))
        return balance_figures(plan, takt, self.asked.elements.times)

    def balance(self, seconds: float) -> tuple[WishedBalance, BalanceFigures, LineBalance]:
        from pullwright.pull.balance.of_line import balance_of

        found = balance_of(self.flow, seconds=seconds)
        return found.balance, found.figures, found


# --- reading --------------------------------------------------------------------------------------------------------


def _is_line(file: Path) -> bool:
    return file.suffix.lower() in (".yaml", ".yml")


def _text(file: Path) -> str:
    """The text of a table, in whichever of the usual encodings it is written."""
    from pullwright.pull.balance.tasks_table import LONGEST
    from pullwright.watch.log.csv_dialect import scan
    from pullwright.watch.log.faults import LogError

    try:
        if (size := file.stat().st_size) > 4 * LONGEST:
            stop(f"{file} has {size:,} bytes; allowed: a table of tasks of up to {4 * LONGEST:,} bytes.")
        return file.read_text(scan(file, file.name).encoding)
    except IsADirectoryError:
        stop(f"{file} is a folder: name the table of tasks in it.")
    except (LogError, UnicodeError):
        stop(f"{file} is no text: save the table as CSV (UTF-8).")
    except OSError as error:
        stop(
            f"{file} cannot be read ({error.strerror or error}): name a table of tasks, such as examples/assembly_tasks.csv."
        )


def _line(file: Path, wished: _Wished, as_json: bool) -> Line:
    from pullwright.commands.terminal import read_line
    from pullwright.line import Line, LineFileError

    line = read_line(file, as_json=as_json)
    text = wished.in_file(line.text)
    if text == line.text:
        return line
    try:
        return Line.from_text(text, name=line.file)
    except LineFileError as error:
        if as_json:
            print_json({"file": str(file), "faults": [fault.as_dict() for fault in error.faults]})
        stop(f"with the options of the command, {error}")


def _names(read: str, option: str) -> tuple[str, ...]:
    found = tuple(dict.fromkeys(name.strip() for name in read.split(";") if name.strip()))
    if len(found) < 2:
        stop(f'{option} {read}: names two tasks or more, parted by ; and in quotes, such as {option} "cut;glue".')
    return found


def _fixed(read: str) -> tuple[str, int]:
    name, _, post = read.rpartition("=")
    if not name.strip() or not post.strip().isdecimal() or int(post) < 1:
        stop(f'--fixed {read}: names a task and its post from 1 on, such as --fixed "cut=1".')
    return name.strip(), int(post)


def _quantity(read: str, dimension: str, option: str) -> float:
    from pullwright.line import units

    try:
        return units.parse(read, dimension)  # type: ignore[return-value]
    except units.QuantityError as error:
        stop(f"{option}: {error}")


def _counts(read: str) -> list[int]:
    found = re.fullmatch(r"\s*(\d+)\s*\.\.\s*(\d+)\s*", read)
    if found is None or not 1 <= int(found[1]) <= int(found[2]) <= int(found[1]) + 99:
        stop(f"--range {read}: two numbers of posts from 1 on, such as --range 2..8, and up to 100 of them.")
    return list(range(int(found[1]), int(found[2]) + 1))
