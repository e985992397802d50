"""What the words of a kind or lifecycle column mean: guessed from one table, for a person to confirm."""

from __future__ import annotations

from collections.abc import Iterable

from pullwright.watch.log.events import EventKind
from pullwright.watch.log.header_words import folded
from pullwright.watch.log.plan import Phase

KIND_WORDS: dict[EventKind, tuple[str, ...]] = {
    "set-up": (
        "setup", "set up", "setting", "changeover", "change over", "make ready", "prepare", "rusten", "einrichten", "umrusten", "rustzeit", "reglage", "montage serie",
        "changement", "preparation", "preparacion", "ajuste", "cambio", "puesta a punto", "instellen", "omstellen", "ombouwen", "attrezzaggio", "setup time",
    ),
    "down": (
        "down", "downtime", "breakdown", "failure", "fault", "broken", "repair", "stop", "stoppage", "storung", "stillstand", "ausfall", "reparatur", "defekt",
        "panne", "arret", "reparation", "averia", "parada", "fallo", "paro", "reparacion", "storing", "stilstand", "uitval", "guasto", "fermo",
    ),
    "run": (
        "run", "running", "production", "produce", "work", "working", "process", "processing", "make", "normal", "productive", "fertigen", "fertigung", "produktion", "bearbeiten", "bearbeitung", "lauf", "laufen", "arbeit", "haupt",
        "marche", "travail", "usinage", "fabrication", "produccion", "trabajo", "marcha", "productie", "draaien", "bewerken", "werk", "produzione", "lavoro",
    ),
    "other": (
        "break", "pause", "maintenance", "cleaning", "waiting", "idle", "meeting", "training", "wartung", "reinigung", "warten", "nettoyage", "attente", "mantenimiento", "limpieza", "espera", "descanso", "onderhoud", "schoonmaken", "wachten", "pauze",
    ),
}  # fmt: skip
_LETTERS: dict[str, EventKind] = {"s": "set-up", "b": "down", "p": "run", "d": "run", "w": "run"}
PHASE_WORDS: dict[Phase, tuple[str, ...]] = {
    "start": ("start", "started", "begin", "begun", "on", "in", "login", "log on", "anfang", "beginn", "kommen", "anmelden", "angemeldet", "debut", "inicio", "aanvang", "inizio"),
    "end": ("complete", "completed", "end", "ended", "finish", "finished", "done", "stop", "off", "out", "logout", "log off", "ende", "fertig", "gehen", "abmelden", "abgemeldet", "fin", "terminado", "einde", "gereed", "fine"),
    "other": ("schedule", "assign", "reassign", "suspend", "resume", "withdraw", "manualskip", "autoskip", "pi abort", "ate abort", "unknown", "enqueue"),
}  # fmt: skip


def kind_of(word: str) -> EventKind | None:
    """What does a word of a kind column mean? None where the table does not know.

    >>> kind_of("Rüsten"), kind_of("Set-up 2"), kind_of("blue")
    ('set-up', 'set-up', None)
    """
    text = folded(word)
    padded = f" {text} "
    for kind, words in KIND_WORDS.items():
        if any(text == one or f" {one} " in padded or text.replace(" ", "") == one.replace(" ", "") for one in words):
            return kind
    for kind, words in KIND_WORDS.items():
        if any(len(one) >= 5 and one in text for one in words):
            return kind
    return None


def kinds_of(words: Iterable[str]) -> tuple[dict[str, EventKind], int]:
    """What the words of a kind column mean together, and how many of them the tables know.

    Single letters are understood from one another: S and B beside D make D the run. A word that nobody knows is "other",
    besides the most frequent one (the first of `words`) where none of them would mean running.

    >>> kinds_of(["D", "S", "B"])
    ({'D': 'run', 'S': 'set-up', 'B': 'down'}, 3)
    """
    found: dict[str, EventKind | None] = {word: kind_of(word) for word in words}
    letters = {word: word.strip().lower() for word in found}
    if any(letter == "r" for letter in letters.values()):
        others = set(letters.values()) - {"r"}
        for word, letter in letters.items():
            if letter == "r":
                found[word] = "set-up" if others & {"p", "f"} and "s" not in others else "run"
    for word, letter in letters.items():
        if found[word] is None and letter in _LETTERS:
            found[word] = _LETTERS[letter]
    if "b" not in letters.values() and "d" in letters.values() and {"r", "p", "w"} & set(letters.values()):
        found[next(word for word, letter in letters.items() if letter == "d")] = "down"
    known = sum(kind is not None for kind in found.values())
    if "run" not in found.values():
        first = next((word for word, kind in found.items() if kind is None), None)
        if first is not None:
            found[first] = "run"
    return {word: kind or "other" for word, kind in found.items()}, known


def phases_of(words: Iterable[str]) -> tuple[dict[str, Phase], int]:
    """What the words of a lifecycle column mean, and how many of them the table knows.

    >>> phases_of(["start", "complete"])
    ({'start': 'start', 'complete': 'end'}, 2)
    """
    found: dict[str, Phase] = {}
    known = 0
    for word in words:
        text = folded(word)
        phase = next((phase for phase, some in PHASE_WORDS.items() if text in some), None)
        if phase is None:
            phase = next((phase for phase, some in PHASE_WORDS.items() if set(text.split()) & set(some)), None)
        known += phase is not None
        found[word] = phase or "other"
    return found, known
