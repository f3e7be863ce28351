from __future__ import annotations

import stat
from pathlib import Path

import pytest

from configurator.errors import BadInput
from configurator.output import check_target, write_whole


def test_a_file_is_written_and_nothing_is_left_beside_it(tmp_path: Path) -> None:
    target = tmp_path / "bill.csv"
    write_whole(target, b"one")
    write_whole(target, b"two")
    assert target.read_bytes() == b"two"
    assert list(tmp_path.iterdir()) == [target]


def test_a_file_keeps_its_permissions_and_a_link_stays_a_link(tmp_path: Path) -> None:
    real, link = tmp_path / "real.csv", tmp_path / "link.csv"
    real.write_bytes(b"old")
    real.chmod(0o640)
    link.symlink_to(real)
    write_whole(link, b"new")
    assert link.is_symlink()
    assert real.read_bytes() == b"new"
    assert stat.S_IMODE(real.stat().st_mode) == 0o640


def test_a_failed_write_leaves_the_file_as_it_was(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    target = tmp_path / "bill.csv"
    target.write_bytes(b"old")

    def full(_: int) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr("configurator.output.os.fsync", full)
    with pytest.raises(BadInput, match="No space left on device"):
        write_whole(target, b"new")
    assert target.read_bytes() == b"old"
    assert list(tmp_path.iterdir()) == [target]


def test_who_reads_a_file_while_it_is_replaced_reads_the_old_one_whole(tmp_path: Path) -> None:
    target = tmp_path / "bill.csv"
    target.write_bytes(b"old")
    with target.open("rb") as reader:
        write_whole(target, b"new")
        assert reader.read() == b"old"
    assert target.read_bytes() == b"new"


@pytest.mark.parametrize(("name", "words"), [("", "is a folder"), ("missing/bill.csv", "does not exist")])
def test_what_is_no_place_for_a_file_is_told_before_any_work(tmp_path: Path, name: str, words: str) -> None:
    with pytest.raises(BadInput, match=words):
        check_target(tmp_path / name)


def test_a_name_that_no_file_can_have_is_told() -> None:
    with pytest.raises(BadInput, match="cannot be written"):
        write_whole(Path("a\0b"), b"x")


def test_a_device_is_written_to_and_not_replaced() -> None:
    null = Path("/dev/null")
    write_whole(null, b"gone")
    assert null.is_char_device()
