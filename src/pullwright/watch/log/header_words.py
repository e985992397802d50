"""The words by which the headers of logs name what stands under them, in several languages: one table."""

from __future__ import annotations

import re
import unicodedata
from functools import lru_cache

from pullwright.watch.log.roles import Role

HEADER_WORDS: dict[Role, tuple[str, ...]] = {
    "case": (
        "case", "case id", "case concept name", "order", "order id", "order no", "order number", "work order", "job", "job id", "job no", "lot", "lot no",
        "batch", "batch no", "serial", "serial no", "serial number", "piece", "traveller", "wo", "production order", "shop order",
        "auftrag", "auftragsnr", "auftragsnummer", "auftrag nr", "fertigungsauftrag", "fa nr", "fa", "los", "charge", "losnr", "seriennummer", "vorgangsfall",
        "commande", "ordre", "ordre de fabrication", "of", "no of", "numero of", "lot de fabrication", "dossier", "affaire",
        "orden", "orden de trabajo", "orden de fabricacion", "ot", "lote", "pedido", "caso", "numero de orden",
        "opdracht", "order nummer", "ordernummer", "werkorder", "partij", "productieorder", "zaak", "ordine", "commessa", "lotto",
    ),
    "activity": (
        "activity", "activity name", "step", "operation", "op", "task", "process", "process step", "work step", "concept name", "event", "event name", "routing step",
        "arbeitsgang", "ag", "vorgang", "schritt", "arbeitsschritt", "tatigkeit", "prozess", "prozessschritt", "aktivitat",
        "operation nom", "etape", "tache", "activite", "gamme", "phase",
        "operacion", "paso", "actividad", "tarea", "proceso", "etapa", "fase",
        "bewerking", "handeling", "activiteit", "stap", "taak", "processtap", "attivita", "operazione", "fase di lavoro",
    ),
    "station": (
        "station", "resource", "machine", "workstation", "work station", "work center", "work centre", "workcenter", "workplace", "place", "equipment", "cell", "line",
        "org resource", "machine id", "machine name", "asset", "where",
        "maschine", "arbeitsplatz", "platz", "anlage", "kostenstelle", "ressource", "betriebsmittel", "maschinennummer", "maschine nr", "ort",
        "poste", "poste de travail", "ilot", "equipement", "centre de charge", "atelier",
        "maquina", "puesto", "puesto de trabajo", "estacion", "recurso", "equipo", "centro de trabajo",
        "werkplek", "werkpost", "werkplaats", "bron", "installatie", "macchina", "stazione", "risorsa", "postazione",
    ),
    "start": (
        "start", "start time", "start timestamp", "start date", "started", "begin", "began", "begin time", "begun", "from", "start at", "time in", "clock on", "on", "actual start",
        "beginn", "anfang", "startzeit", "startzeitpunkt", "von", "beginnzeit", "ist beginn", "beginn datum", "beginn zeit", "anmeldung", "startdatum", "start datum", "start zeit",
        "debut", "date debut", "heure debut", "depart", "date de debut", "heure de debut",
        "inicio", "fecha inicio", "hora inicio", "fecha de inicio", "hora de inicio", "comienzo", "desde",
        "aanvang", "begintijd", "starttijd", "begindatum", "van", "inizio", "ora inizio", "data inizio",
    ),
    "end": (
        "end", "end time", "end timestamp", "end date", "ended", "complete", "complete timestamp", "completed at", "completion", "finish", "finished", "finish time", "to", "until", "stop", "time out", "clock off", "off", "actual end",
        "ende", "endzeit", "endzeitpunkt", "bis", "fertig", "ist ende", "ende datum", "ende zeit", "fertigmeldung", "abmeldung", "enddatum", "schluss",
        "fin", "date fin", "heure fin", "date de fin", "heure de fin", "arret",
        "fecha fin", "hora fin", "final", "fecha de fin", "hora de fin", "termino", "hasta",
        "einde", "eindtijd", "einddatum", "gereed", "tot", "fine", "ora fine", "data fine",
    ),
    "moment": (
        "timestamp", "time timestamp", "time", "date", "datetime", "date time", "moment", "when", "event time", "booked", "booked at", "noted", "recorded", "recorded at", "epoch", "ts", "logged",
        "zeitpunkt", "zeit", "datum", "zeitstempel", "buchung", "buchungszeit", "uhrzeit", "gebucht", "meldezeit", "erfasst",
        "date heure", "horodatage", "heure", "instant", "fecha", "hora", "fecha hora", "marca de tiempo", "momento",
        "tijd", "tijdstip", "tijdstempel", "datum tijd", "data", "ora", "data ora",
    ),
    "lifecycle": (
        "lifecycle", "lifecycle transition", "transition", "life cycle", "event type", "status", "phase", "state", "booking type", "start or end",
        "meldeart", "buchungsart", "ereignis", "zustand", "ereignisart", "satzart", "statut", "etat", "evenement", "type evenement",
        "estado", "evento", "tipo de evento", "toestand", "gebeurtenis", "boekingssoort", "stato",
    ),
    "span": (
        "span", "duration", "elapsed", "elapsed time", "time taken", "how long", "minutes", "hours", "run time", "processing time", "work time", "time min", "time s",
        "dauer", "zeitdauer", "bearbeitungszeit", "istzeit", "laufzeit", "zeitbedarf", "zeit min", "minuten", "stunden",
        "duree", "temps", "temps passe", "duracion", "tiempo", "minutos", "horas", "duur", "tijdsduur", "minuten", "durata",
    ),
    "kind": (
        "kind", "report type", "type", "booking kind", "record type", "kind of work", "work type", "mode", "category", "activity type", "time type",
        "art", "zeitart", "typ", "meldungsart", "tatigkeitsart", "leistungsart", "genre", "nature", "categorie", "type de temps", "type",
        "tipo", "clase", "categoria", "tipo de tiempo", "soort", "tijdsoort", "tipo di tempo",
    ),
    "product": (
        "product", "part", "part desc", "part description", "part no", "part number", "part name", "item", "article", "material", "model", "sku", "product name", "product id", "description", "variant",
        "artikel", "teil", "produkt", "artikelnummer", "artikel nr", "teilenummer", "teil nr", "sachnummer", "bezeichnung", "werkstuck", "materialnummer",
        "piece nom", "produit", "reference", "designation", "producto", "pieza", "articulo", "referencia", "modelo",
        "onderdeel", "produkt naam", "artikel naam", "prodotto", "articolo", "codice", "pezzo",
    ),
    "person": (
        "person", "worker", "worker id", "operator", "operator id", "employee", "employee id", "who", "user", "by", "staff", "personnel no",
        "mitarbeiter", "bediener", "werker", "personal", "personalnummer", "personalnr", "personal nr", "wer", "name des werkers", "kurzel",
        "operateur", "ouvrier", "employe", "matricule", "personne", "agent", "operario", "operador", "trabajador", "empleado", "quien",
        "medewerker", "operateur naam", "bediener naam", "werknemer", "wie", "operatore", "addetto", "matricola",
    ),
    "asked": (
        "asked", "order qty", "work order qty", "order quantity", "ordered", "qty ordered", "pieces ordered", "planned qty", "target qty", "quantity ordered", "qty", "quantity", "lot size", "batch size",
        "auftragsmenge", "sollmenge", "soll", "bestellmenge", "losgrosse", "menge soll", "planmenge", "menge", "soll menge",
        "quantite commandee", "quantite prevue", "qte commandee", "qte prevue", "quantite", "taille de lot", "qte",
        "cantidad pedida", "cantidad planificada", "cantidad", "tamano de lote", "bestelde hoeveelheid", "aantal besteld", "ordergrootte", "aantal", "geplande hoeveelheid", "quantita ordinata", "quantita",
    ),
    "good": (
        "good", "good pieces", "good qty", "qty completed", "quantity completed", "completed", "qty good", "pieces good", "output", "yield", "qty done", "produced", "qty produced", "pieces done", "parts made", "pieces", "ok",
        "gut", "gutmenge", "gutteile", "gut stuck", "gutstuck", "istmenge", "menge gut", "fertigmenge", "stuck", "stuckzahl", "io",
        "bonnes", "pieces bonnes", "quantite bonne", "qte bonne", "quantite produite", "conformes",
        "buenas", "piezas buenas", "cantidad buena", "cantidad producida", "buenos", "goed", "goede stuks", "aantal goed", "geproduceerd", "stuks", "buoni", "pezzi buoni", "quantita prodotta",
    ),
    "scrap": (
        "scrap", "scrapped", "scrap qty", "qty rejected", "rejected", "rejects", "reject", "bad", "bad pieces", "qty scrap", "qty scrapped", "defective", "waste", "ng", "nok",
        "ausschuss", "ausschussmenge", "schlecht", "schlechtteile", "menge ausschuss", "nio", "verwurf",
        "rebut", "rebuts", "quantite rebutee", "qte rebut", "mauvaises", "non conformes",
        "rechazo", "rechazos", "chatarra", "malas", "piezas malas", "cantidad rechazada", "merma", "afval", "uitval", "afkeur", "aantal afgekeurd", "fout", "scarto", "scarti", "pezzi scartati",
    ),
    "held": (
        "held", "held pieces", "hold", "on hold", "qty for mrb", "mrb", "mrb qty", "qty held", "quarantine", "blocked", "suspect", "put aside",
        "gesperrt", "sperrmenge", "sperre", "zuruckgestellt", "ruckgestellt", "bloque", "bloquees", "en attente", "retenues", "quarantaine",
        "retenido", "retenidas", "bloqueado", "cuarentena", "apartadas", "geblokkeerd", "apart gezet", "bloccati", "trattenuti",
    ),
    "rework": (
        "rework", "reworked", "rework flag", "done again", "repeat", "second time",
        "nacharbeit", "nachgearbeitet", "wiederholung", "retouche", "reprise", "retravail", "retrabajo", "reproceso", "repaso", "herbewerking", "nabewerking", "herstel", "rilavorazione", "ripresa",
    ),
}  # fmt: skip
"""The phrases of each role, folded: small letters, no accents, words parted by one space."""

AMOUNT = frozenset(["qty", "quantity", "amount", "menge", "anzahl", "stuck", "stuckzahl", "pieces", "pcs", "quantite", "qte", "nombre", "cantidad", "aantal", "hoeveelheid", "stuks", "quantita", "pezzi", "count", "size"])  # fmt: skip
"""Words that say that a number of pieces stands there."""
TIMELY = frozenset(["date", "time", "timestamp", "datetime", "datum", "zeit", "uhrzeit", "heure", "fecha", "hora", "tijd", "tijdstip", "data", "ora", "day", "tag"])  # fmt: skip
"""Words that say that a moment stands there."""
INSTANCE = frozenset(("concept instance", "instance", "instance id", "event instance", "lauf", "lifecycle instance"))
"""Headers of the column that ties a start to its end."""
UNIT_WORDS: dict[str, tuple[str, ...]] = {
    "ms": ("ms", "milliseconds"),
    "s": ("s", "sec", "secs", "seconds", "sek", "sekunden", "secondes", "segundos", "seconden", "secondi"),
    "min": ("min", "mins", "minutes", "minuten", "minutos", "minuti"),
    "h": ("h", "hr", "hrs", "hours", "std", "stunden", "heures", "horas", "uur", "uren", "ore"),
    "d": ("d", "days", "tage", "jours", "dias", "dagen", "giorni"),
}
"""Units as headers write them, folded."""
_SMALL_WORDS = frozenset(
    [
        "the",
        "der",
        "die",
        "das",
        "le",
        "la",
        "les",
        "el",
        "los",
        "de",
        "du",
        "des",
        "of",
        "fur",
        "for",
        "and",
        "und",
        "et",
        "y",
        "en",
    ]
)


def folded(text: str) -> str:
    """The words of a header: small, without accents, signs and joins.

    >>> folded("Work Order  Qty"), folded("StartZeit (min)"), folded("Stück_gut"), folded("time:timestamp")
    ('work order qty', 'start zeit min', 'stuck gut', 'time timestamp')
    """
    apart = re.sub(r"(?<=[a-zß-ÿ])(?=[A-ZÀ-Þ])", " ", text)
    plain = "".join(c for c in unicodedata.normalize("NFKD", apart.replace("ß", "ss")) if not unicodedata.combining(c))
    return " ".join(re.findall(r"[a-z0-9]+", plain.lower()))


@lru_cache(maxsize=10_000)
def header_score(header: str, role: Role) -> tuple[float, str]:
    """How well does a header name a role, from 0 to 1, and by which phrase?

    >>> header_score("Case ID", "case"), header_score("Work Order  Qty", "asked")[0]
    ((1.0, 'case id'), 1.0)
    """
    text = folded(header)
    words = text.split()
    if not words:
        return 0.0, ""
    together = text.replace(" ", "")
    best, by = 0.0, ""
    for phrase in HEADER_WORDS[role]:
        parts = phrase.split()
        if text == phrase or together == phrase.replace(" ", ""):
            return 1.0, phrase
        if len(parts) <= len(words) and f" {phrase} " in f" {text} ":
            content = [w for w in words if w not in _SMALL_WORDS] or words
            score = 0.55 + 0.35 * len(parts) / max(len(content), len(parts))
            if text.startswith(phrase):
                score += 0.02
        elif len(phrase) >= 5 and any(word.startswith(phrase) or (word.endswith(phrase) and len(word) > len(phrase)) for word in words):  # fmt: skip
            score = 0.55
        else:
            continue
        if score > best:
            best, by = score, phrase
    return best, by
