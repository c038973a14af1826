"""The process that takes in readings is killed at random moments, again and again."""

import multiprocessing
import os
import random
import signal
import time
from itertools import count
from multiprocessing.process import BaseProcess
from pathlib import Path

import pytest

from console.readings.files import WatchedFolder
from console.readings.mapping import ReadingsMapping
from console.readings.taken_rows import TakenRows

PIECES = 300
KILLS = 20
SEED = 20310502


def take_in(folder: Path, journal_file: Path, out: Path, keeps_ids: bool) -> None:
    """Write every new piece to a file and mark it, as fast as it goes."""
    seconds = count(time.time(), 10)
    used = frozenset(ids_in(out)) if keeps_ids else frozenset()
    descriptor = os.open(out, os.O_WRONLY | os.O_CREAT | os.O_APPEND)
    with TakenRows.open(journal_file) as journal:
        watched = WatchedFolder(
            folder, ReadingsMapping(), journal, is_used=used.__contains__, clock=lambda: next(seconds)
        )
        for piece in [*watched.poll(), *watched.poll()]:
            os.write(descriptor, f"{piece.row_ids[0]}\n".encode())
            watched.taken([piece])


def ids_in(out: Path) -> list[str]:
    return out.read_text(encoding="utf-8").split()


def wait_for_size(child: BaseProcess, out: Path, size: int) -> None:
    """Wait until the child has written so many bytes, or has ended."""
    while child.is_alive() and out.stat().st_size < size:
        time.sleep(0.0001)


@pytest.mark.parametrize("keeps_ids", [False, True])
def test_killed_at_random_nothing_is_lost_or_read_twice(tmp_path: Path, keeps_ids: bool) -> None:
    """Every row comes, and once where the user of the rows keeps their ids.

    Where it does not, a row comes twice only if the kill fell between using it and marking it.
    """
    folder, out = tmp_path / "drop", tmp_path / "out.txt"
    folder.mkdir()
    rows = "".join(f"P{number},18.{number:03d},8.1\n" for number in range(PIECES))
    (folder / "a.csv").write_text(f"piece,Cr,Ni\n{rows}", encoding="utf-8")
    out.touch()
    chance = random.Random(SEED)
    fork = multiprocessing.get_context("fork")
    last_before_a_kill: set[str] = set()

    for kill in range(KILLS + 1):
        child = fork.Process(target=take_in, args=(folder, tmp_path / "journal", out, keeps_ids))
        child.start()
        if kill < KILLS:
            wait_for_size(child, out, out.stat().st_size + chance.randint(1, 300))
            time.sleep(chance.uniform(0.0, 0.001))
            child.kill()
        child.join()
        if child.exitcode == -signal.SIGKILL:
            last_before_a_kill.add(ids_in(out)[-1])

    came = ids_in(out)
    twice = {row_id for row_id in came if came.count(row_id) > 1}
    assert len(set(came)) == PIECES
    assert len(came) <= PIECES + (0 if keeps_ids else KILLS)
    assert twice <= last_before_a_kill
    assert len(last_before_a_kill) > KILLS / 2, "the kills fell too late to prove anything"
    assert child.exitcode == 0
