"""Allowances on basic time: rest and personal needs by a table, contingency, and the standard time that follows.

The table is the one of relaxation allowances commonly printed after the ILO. Its values are agreements among people, not
measurements: agree on them with those who do the work. An allowance for force is no permission to lift: it says how much rest
is owed, not that the load is safe.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from pullwright.line.faults import likely_slip, listed, shown
from pullwright.watch.study.faults import StudyError
from pullwright.watch.study.sheet import Allowance, Work

SOURCE = "ILO, Introduction to Work Study, appendix (from memory)"
MOST_CONTINGENCY = 0.05
"""More than this is no contingency but something that should be timed (ILO, from memory)."""
MOST_SHARE = 2.0


@dataclass(frozen=True, slots=True)
class Row:
    """A row of the table: its key, the group of which only one row holds, its words, and its share of basic time.

    `fixed` rows hold for everybody. `while_machine_runs` says that the allowance is owed on machine time too: personal
    needs do not wait for the machine, while tiredness comes from work (ILO, from memory). `kilograms` is the load up to
    which a row of force holds.
    """

    key: str
    group: str
    words: str
    share: float
    fixed: bool = False
    while_machine_runs: bool = False
    kilograms: float | None = None


def _rows(group: str, *rows: tuple[str, str, float]) -> tuple[Row, ...]:
    return tuple(Row(key, group, words, share) for key, words, share in rows)


_LOADS = ((2.5, 0), (5.0, 1), (7.5, 2), (10.0, 3), (12.5, 4), (15.0, 5), (17.5, 7), (20.0, 9), (22.5, 11), (25.0, 13), (30.0, 17), (33.5, 22))  # fmt: skip
_AIR = ((16, 0), (14, 0), (12, 0), (10, 3), (8, 10), (6, 21), (5, 31), (4, 45), (3, 64), (2, 100))

TABLE: tuple[Row, ...] = (
    Row("personal", "personal needs", "personal needs", 0.05, fixed=True, while_machine_runs=True),
    Row("basic fatigue", "basic fatigue", "basic fatigue", 0.04, fixed=True),
    *_rows("standing", ("standing", "standing at work", 0.02)),
    *_rows(
        "posture",
        ("posture slightly awkward", "slightly awkward posture", 0.0),
        ("posture awkward", "awkward posture, bending", 0.02),
        ("posture very awkward", "very awkward posture, lying or stretching", 0.07),
    ),
    *(
        Row(f"force {kilograms:g} kg", "force", f"lifting, pulling or pushing up to {kilograms:g} kg", share / 100, kilograms=kilograms)
        for kilograms, share in _LOADS
    ),
    *_rows(
        "light",
        ("light slightly poor", "light slightly below what is recommended", 0.0),
        ("light poor", "light well below what is recommended", 0.02),
        ("light bad", "light quite inadequate", 0.05),
    ),
    *(Row(f"air {power}", "air", f"heat and damp: cooling power {power} (kata thermometer, mcal/cm²/s)", share / 100) for power, share in _AIR),
    *_rows(
        "attention",
        ("attention fairly fine", "fairly fine work", 0.0),
        ("attention fine", "fine or exacting work", 0.02),
        ("attention very fine", "very fine or very exacting work", 0.05),
    ),
    *_rows(
        "noise",
        ("noise continuous", "continuous noise", 0.0),
        ("noise loud", "intermittent loud noise", 0.02),
        ("noise very loud", "intermittent very loud noise", 0.05),
        ("noise shrill", "high-pitched loud noise", 0.05),
    ),
    *_rows(
        "mental strain",
        ("strain fairly complex", "fairly complex process", 0.01),
        ("strain complex", "complex process, or attention to many things", 0.04),
        ("strain very complex", "very complex process", 0.08),
    ),
    *_rows(
        "monotony",
        ("monotony low", "little monotony", 0.0),
        ("monotony medium", "some monotony", 0.01),
        ("monotony high", "much monotony", 0.04),
    ),
    *_rows(
        "tediousness",
        ("tedious rather", "rather tedious", 0.0),
        ("tedious", "tedious", 0.02),
        ("tedious very", "very tedious", 0.05),
    ),
    Row("contingency", "contingency", "contingency: small things that come now and then", MOST_CONTINGENCY, while_machine_runs=True),
)  # fmt: skip
BY_KEY: dict[str, Row] = {row.key: row for row in TABLE}
GROUPS: tuple[str, ...] = tuple(dict.fromkeys(row.group for row in TABLE))


def fixed_allowances() -> tuple[Allowance, ...]:
    """What everybody is owed: personal needs and basic fatigue.

    >>> [(one.key, one.share) for one in fixed_allowances()]
    [('personal', 0.05), ('basic fatigue', 0.04)]
    """
    return tuple(Allowance(row.key, row.share, row.words) for row in TABLE if row.fixed)


def allowances_of(keys: Iterable[str]) -> tuple[Allowance, ...]:
    """Which allowances are these rows of the table?

    Errors: `StudyError` for a key that is not in the table, or for two rows of one group.

    >>> sum(one.share for one in allowances_of(["personal", "basic fatigue", "standing"]))
    0.11
    """
    found = []
    for key in keys:
        if key not in BY_KEY:
            hint = likely_slip(key, BY_KEY)
            raise StudyError(f"allowance {shown(key)}", "is no row of the table", listed(BY_KEY, 60), hint)
        found.append(Allowance(key, BY_KEY[key].share, BY_KEY[key].words))
    return one_of_a_group(tuple(found))


def force_allowance(kilograms: float) -> Allowance:
    """What is owed for lifting, pulling or pushing so many kilograms: the first row that reaches them.

    Errors: `StudyError` for more than the table goes up to, which nobody should lift by hand.

    >>> force_allowance(11.0).share
    0.04
    """
    loads = [row for row in TABLE if row.kilograms is not None]
    row = next((row for row in loads if 0 <= kilograms <= (row.kilograms or 0.0)), None)
    if row is None:
        raise StudyError(
            f"a load of {kilograms:g} kg",
            "is not in the table of force",
            f"0 to {loads[-1].kilograms:g} kg",
            "use a hoist: no rest makes this load fit for hands",
        )
    return Allowance(row.key, row.share, row.words)


def one_of_a_group(rows: tuple[Allowance, ...]) -> tuple[Allowance, ...]:
    """The same allowances, once it is sure that none stands twice and that no group of the table has two rows.

    Errors: `StudyError` naming both.
    """
    met: dict[str, str] = {}
    for one in rows:
        row = BY_KEY.get(one.key)
        group = row.group if row else one.key
        if group in met:
            twice = "twice" if met[group] == one.key else f"beside {met[group]}"
            raise StudyError(
                f"allowance {shown(one.key)}",
                f"stands there {twice}",
                f"one row for {group}",
                "take away the one that does not hold",
            )
        met[group] = one.key
    return rows


def allowance_from(read: Mapping[str, object] | Allowance) -> Allowance:
    """Which allowance is meant by {key, share, words}? A row of the table needs its key only; the works' own needs a share.

    Errors: `StudyError` for a share that is none.

    >>> allowance_from({"key": "standing"}), allowance_from({"key": "wet floor", "share": 0.03})
    (Allowance(key='standing', share=0.02, words='standing at work'), Allowance(key='wet floor', share=0.03, words=''))
    """
    if isinstance(read, Allowance):
        read = {"key": read.key, "share": read.share, "words": read.words}
    if not isinstance(read, Mapping):
        raise StudyError(f"allowance {shown(read)}", "is no row", "key, share and words", "")
    key = read.get("key")
    if not isinstance(key, str) or not key.strip():
        raise StudyError(f"allowance {shown(key)}", "has no name", "a row of the table, or a name of your own", "")
    key = key.strip()
    row = BY_KEY.get(key)
    share, words = read.get("share"), read.get("words")
    if share is None and row is not None:
        share = row.share
    if isinstance(share, bool) or not isinstance(share, int | float) or not 0 <= share <= MOST_SHARE:
        raise StudyError(
            f"allowance {shown(key)} of {shown(share)}",
            "is no share of basic time",
            f"0 to {MOST_SHARE:g}, such as 0.05 for 5 %",
            "allowances are added to basic time, so 5 % is 0.05",
        )
    said = words.strip() if isinstance(words, str) else ""
    return Allowance(key, float(share), said or (row.words if row else ""))


def owed_on(work: Work, allowances: Iterable[Allowance]) -> tuple[Allowance, ...]:
    """Which of these are owed on this kind of work? All on a person's work; on machine time only those that do not come from
    work: personal needs, contingency, and the works' own rows.

    >>> [one.key for one in owed_on("machine", allowances_of(["personal", "standing"]))]
    ['personal']
    """
    if work != "machine":
        return tuple(allowances)
    return tuple(one for one in allowances if one.key not in BY_KEY or BY_KEY[one.key].while_machine_runs)


def standard_time(basic: float, share: float, every: int = 1) -> float:
    """How long does it take with its allowances, in s per cycle? `basic` in s, `share` of all allowances, once in `every` cycles.

    Source: standard time = basic time x (1 + allowances); occasional elements spread over their cycles (ILO, from memory).

    >>> standard_time(100.0, 0.25), standard_time(100.0, 0.25, every=20)
    (125.0, 6.25)
    """
    return basic * (1 + share) / every
