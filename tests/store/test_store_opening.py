"""A store that cannot be opened says why; one that can is quick."""

from __future__ import annotations

import os
import subprocess
import sys
import time
from pathlib import Path

import pytest

from beachmark.store import StoreError, open_store


@pytest.mark.parametrize("home", ["taken", "taken/below"])
def test_a_file_where_the_folder_should_be(tmp_path: Path, home: str) -> None:
    (tmp_path / "taken").write_text("a file", encoding="utf-8")
    with pytest.raises(StoreError, match="a file stands where the folder should be"):
        open_store(tmp_path / home)
    assert (tmp_path / "taken").read_text(encoding="utf-8") == "a file"


@pytest.mark.skipif(not Path("/proc/self").exists(), reason="needs a folder in which not even root can make one")
def test_a_folder_that_cannot_be_made() -> None:
    with pytest.raises(StoreError, match=r"/proc/beachmark: the folder cannot be made: .*; name another folder"):
        open_store(Path("/proc/beachmark"))


@pytest.mark.skipif(os.name != "posix" or os.geteuid() == 0, reason="root may write into a read-only folder")
def test_a_read_only_folder(tmp_path: Path) -> None:
    tmp_path.chmod(0o555)
    with pytest.raises(StoreError, match="may you write in it"):
        open_store(tmp_path)


def test_the_database_is_a_folder(tmp_path: Path) -> None:
    (tmp_path / "beachmark.db").mkdir()
    with pytest.raises(StoreError, match="it cannot be opened"):
        open_store(tmp_path)


@pytest.mark.parametrize("content", [b"hello", b"not a database at all\n" * 500, bytes(range(256)) * 64])
def test_a_file_that_is_no_database(tmp_path: Path, content: bytes) -> None:
    (tmp_path / "beachmark.db").write_bytes(content)
    with pytest.raises(StoreError, match=r"beachmark\.db: it is not a database; move the file away"):
        open_store(tmp_path)
    assert (tmp_path / "beachmark.db").read_bytes() == content


def test_a_damaged_database(tmp_path: Path) -> None:
    store = open_store(tmp_path)
    store.add(title="t", reference="", document={"a": "x" * 50_000}, who="", why="")
    store.close()
    file = tmp_path / "beachmark.db"
    whole = file.read_bytes()
    file.write_bytes(whole[:4096] + b"\xa5" * (len(whole) - 4096))
    with pytest.raises(StoreError, match="the database is damaged; put the newest copy"):
        open_store(tmp_path).get(1)


def test_an_empty_file_becomes_a_store(tmp_path: Path) -> None:
    (tmp_path / "beachmark.db").touch()
    assert open_store(tmp_path).empty()


@pytest.mark.parametrize("name", ["with space", "100%20?mode=ro#x", "käfig", "a'b\"c"])
def test_odd_folder_names(tmp_path: Path, name: str) -> None:
    open_store(tmp_path / name).close()
    assert [file.name for file in (tmp_path / name).iterdir()] == ["beachmark.db"]


def test_opening_is_quick_and_loads_only_what_it_needs(tmp_path: Path) -> None:
    open_store(tmp_path).close()
    script = (
        "import sys; from pathlib import Path; from beachmark.store import open_store; "
        "assert 'sqlalchemy' not in sys.modules; open_store(Path(sys.argv[1])); assert 'alembic' not in sys.modules"
    )
    done = subprocess.run([sys.executable, "-c", script, str(tmp_path)], capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stderr

    def seconds() -> float:
        start = time.perf_counter()
        open_store(tmp_path).close()
        return time.perf_counter() - start

    assert min(seconds() for _ in range(5)) < 0.030
