"""Whose load the pieces are: typed as a line of its own, `from Old Mill load 7`, and on a ticket."""

from dataclasses import dataclass

FROM = frozenset({"from", "supplier", "von", "lieferant", "fournisseur", "proveedor", "fornitore"})
"""What stands before a supplier, in the five languages of the entry line (common practice)."""
LOAD = frozenset({"load", "fuhre", "ladung", "chargement", "carga", "carico"})
"""What stands before the name or number of a load."""
NONE = frozenset({"none", "-", "keiner", "aucun", "ninguno", "nessuno"})
"""An answer that names nobody."""

_ENDS = frozenset({"load end", "load ends", "load ended", "end load", "end of load", "load done"})
"""What ends supplier and load, said in other words than `from` by itself."""


@dataclass(frozen=True, slots=True, kw_only=True)
class LoadTyped:
    """Supplier and load as typed; None where nothing was said, empty where it ends."""

    supplier: str | None = None
    load: str | None = None

    def after(self, supplier: str, load: str) -> tuple[str, str]:
        """Return supplier and load after those at hand; another supplier begins without a load."""
        if self.supplier is not None:
            return self.supplier, self.load or ""
        return supplier, load if self.load is None else self.load


def read_load_words(text: str) -> LoadTyped | None:
    """Return supplier and load of a text that begins with the word for one of them; None for another text.

    >>> read_load_words("from Old Mill load 7").after("", "")
    ('Old Mill', '7')
    >>> read_load_words("load 8").after("Old Mill", "7")
    ('Old Mill', '8')
    >>> read_load_words("from").after("Old Mill", "8")
    ('', '')
    >>> read_load_words("12.4 304") is None
    True
    """
    words = text.partition(";")[0].split()
    if " ".join(words).casefold() in _ENDS:
        return LoadTyped(supplier="", load="")
    if not words or words[0].casefold() not in FROM | LOAD:
        return None
    said: dict[str, list[str]] = {}
    for word in words:
        name = "supplier" if word.casefold() in FROM else "load" if word.casefold() in LOAD else ""
        # The second "from" of "from Mill from Hull" is a part of the name.
        if name and name not in said:
            said[name] = current = []
        else:
            current.append(word)
    names = {name: " ".join(parts).strip('"') for name, parts in said.items()}
    return LoadTyped(supplier=names.get("supplier"), load=names.get("load"))


def read_load_answer(text: str) -> LoadTyped:
    """Return supplier and load of an answer, where the word before the supplier may be left out.

    >>> read_load_answer("Old Mill load 7").after("", "")
    ('Old Mill', '7')
    >>> read_load_answer("none").after("Old Mill", "7")
    ('', '')
    """
    if text.strip().casefold() in NONE:
        return LoadTyped(supplier="", load="")
    return read_load_words(text) or read_load_words(f"from {text}") or LoadTyped()


def load_words(supplier: str, load: str) -> str:
    """Return whose load it is, as it is shown and could be typed: "from Old Mill load 7"; empty for none."""
    return " ".join(filter(None, (f"from {supplier}" if supplier else "", f"load {load}" if load else "")))
