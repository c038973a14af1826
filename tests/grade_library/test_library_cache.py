"""The kept copy of the grades: fast, and never believed when anything about it is wrong."""

from pathlib import Path

import numpy as np
import pytest

from grade_library import library as library_module
from grade_library.library import DATA_FOLDER, read_library
from grade_library.loading import library_cache


@pytest.fixture()
def data(tmp_path: Path) -> Path:
    """A copy of two shipped files, free to be changed."""
    folder = tmp_path / "data"
    folder.mkdir()
    for name in ("sources.toml", "zinc.toml", "magnesium.toml"):
        (folder / name).write_bytes((DATA_FOLDER / name).read_bytes())
    return folder


def _kept(cache: Path) -> Path:
    (file,) = cache.glob("grades-*.json")
    return file


def test_the_kept_library_is_the_read_one(
    data: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A second load reads no TOML and gives equal grades, sources and arrays."""
    cache = tmp_path / "cache"
    first = read_library(data, cache)
    monkeypatch.setattr(library_module, "_read_files", lambda *_: pytest.fail("the files were read again"))

    second = read_library(data, cache)

    assert second.grades == first.grades
    assert second.sources == first.sources
    assert second.elements == first.elements
    assert np.array_equal(second.low, first.low, equal_nan=True)
    assert np.array_equal(second.is_rest, first.is_rest)


def test_the_whole_shipped_library_survives_being_kept(tmp_path: Path) -> None:
    """Every grade, with its limits, sums, differences and citations, comes back equal."""
    read_library(DATA_FOLDER, tmp_path)

    assert read_library(DATA_FOLDER, tmp_path).grades == read_library(DATA_FOLDER).grades


def test_a_changed_file_is_read_again(data: Path, tmp_path: Path) -> None:
    """One corrected figure is seen at once, and the older copy goes."""
    cache = tmp_path / "cache"
    read_library(data, cache)
    old = _kept(cache)
    text = (data / "zinc.toml").read_text("utf-8")
    (data / "zinc.toml").write_text(text.replace("density = 6.6\n", "density = 6.61\n"), "utf-8")

    assert read_library(data, cache).grade("Zamak 3").density_g_cm3 == 6.61
    assert _kept(cache) != old


@pytest.mark.parametrize("damage", ["cut", "flipped", "empty", "header", "not json", "wrong shape"])
def test_a_damaged_copy_is_built_anew(data: Path, tmp_path: Path, damage: str) -> None:
    """Whatever happened to the copy, the library is right and the copy sound again."""
    cache = tmp_path / "cache"
    sound = read_library(data, cache)
    file = _kept(cache)
    content = file.read_bytes()
    header, _, payload = content.partition(b"\n")
    key = header.split()[0].decode()
    file.write_bytes(
        {
            "cut": content[: len(content) // 2],
            "flipped": content[:-40] + bytes([content[-40] ^ 1]) + content[-39:],
            "empty": b"",
            "header": b"\xff\xfe\n" + payload,
            "not json": library_cache._header(key, b"{").encode() + b"\n{",
            "wrong shape": library_cache._header(key, b'{"limits": [1]}').encode() + b'\n{"limits": [1]}',
        }[damage]
    )

    assert read_library(data, cache).grades == sound.grades
    assert _kept(cache).read_bytes() == content


def test_a_folder_that_takes_nothing_is_no_trouble(data: Path, tmp_path: Path) -> None:
    """Where no cache can be written the library loads all the same."""
    blocked = tmp_path / "file"
    blocked.write_text("in the way", "utf-8")

    assert len(read_library(data, blocked / "cache")) > 20


def test_the_kept_words_are_those_worked_out_anew(tmp_path: Path) -> None:
    """Every word of the kept dictionary means the very answers that it means when worked out anew."""
    fresh = read_library(DATA_FOLDER)
    read_library(DATA_FOLDER, tmp_path)

    kept = read_library(DATA_FOLDER, tmp_path)

    worked_out = fresh.dictionary.word_table(fresh.grades, fresh.dictionary.words)
    assert dict(kept.dictionary.word_table(kept.grades)) == dict(worked_out)
    assert len(worked_out) > 4000
