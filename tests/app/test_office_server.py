"""What an office's server stands on: health, log, copies, and the files that set it up."""

from __future__ import annotations

import configparser
import json
import re
import shlex
import shutil
import subprocess
import sys
import tomllib
import zipfile
from dataclasses import replace
from pathlib import Path

import pytest
from app_fixtures import on_enquiry, shown
from costs_told import page_texts
from streamlit.testing.v1 import AppTest

import meshcore as mc
from meshcore.costing.book.history.saving import save_version
from meshcore.demo import BOOK_VARIABLE, DEMO_VARIABLE, demo_data
from meshcore.register.connecting import REGISTER_VARIABLE
from meshcore.register.records import save_estimate, saved_estimates
from meshcore_estimator import __main__ as launcher
from meshcore_estimator import set_up
from meshcore_estimator.__main__ import SCRIPT, main
from meshcore_estimator.access import ACCESS_VARIABLE

ROOT = Path(__file__).parents[2]
DEPLOYED = ROOT / "apps" / "estimator"


@pytest.fixture
def office(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A book with two versions, a file of roles, and one estimate on file."""
    book = tmp_path / "price_book.toml"
    shutil.copy(demo_data() / "price_book.toml", book)
    (tmp_path / "access.toml").write_text('otherwise = "viewer"\n')
    monkeypatch.setenv(BOOK_VARIABLE, str(book))
    monkeypatch.setenv(ACCESS_VARIABLE, str(tmp_path / "access.toml"))
    monkeypatch.setenv(REGISTER_VARIABLE, str(tmp_path / "register.sqlite"))
    before = mc.read_price_book(book)
    after = replace(before, stale_after_days=before.stale_after_days + 1)
    save_version(book, after, before, author="Kay", note="older rates")
    save_estimate(mc.estimate_list(mc.read_list(demo_data() / "enquiries.csv").head(2)), "belts")
    return tmp_path


def test_all_of_an_office_goes_into_one_file_and_comes_back(
    office: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    copy = office / "copy.zip"
    assert main(["--backup", str(copy)]) == 0
    told = capsys.readouterr().out
    assert "book/price_book.toml\n" in told
    assert "files/access/access.toml\n" in told
    assert main(["--backup", str(copy)]) == 2
    assert "is there already" in capsys.readouterr().err

    monkeypatch.setenv(REGISTER_VARIABLE, str(office / "new.sqlite"))
    new = office / "new"
    assert main(["--restore", str(copy), "--into", str(new)]) == 0
    assert saved_estimates()["title"].tolist() == ["belts"]
    assert (new / "book" / "price_book.toml").read_bytes() == (
        office / "price_book.toml"
    ).read_bytes()
    # Its lock is of those who write it now, and no part of it.
    kept = sorted(
        p.name for p in (office / "price_book.toml.versions").iterdir() if p.name != ".lock"
    )
    assert sorted(p.name for p in (new / "book" / "price_book.toml.versions").iterdir()) == kept
    assert len(kept) > 1
    assert not any("secret" in name for name in zipfile.ZipFile(copy).namelist())


def test_nothing_is_put_back_over_anything(
    office: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    copy = office / "copy.zip"
    main(["--backup", str(copy)])
    # The register in use holds something.
    assert main(["--restore", str(copy), "--into", str(office / "new")]) == 2
    assert "is not empty" in capsys.readouterr().err
    assert not (office / "new").exists()
    monkeypatch.setenv(REGISTER_VARIABLE, str(office / "new.sqlite"))
    assert main(["--restore", str(copy), "--into", str(office)]) == 2
    assert "is not empty" in capsys.readouterr().err
    assert main(["--restore", str(copy)]) == 2
    assert "--into" in capsys.readouterr().err
    assert not (office / "new.sqlite").exists()


@pytest.mark.parametrize("kind", ["cut", "flipped", "text", "astray"])
def test_a_damaged_copy_changes_nothing(
    office: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str], kind: str
) -> None:
    copy = office / "copy.zip"
    main(["--backup", str(copy)])
    whole = copy.read_bytes()
    if kind == "cut":
        copy.write_bytes(whole[: len(whole) // 2])
    elif kind == "flipped":
        # Within the register: not every byte of the zip's own directory means something.
        place = len(whole.split(b"book/")[0]) // 2
        copy.write_bytes(whole[:place] + bytes([whole[place] ^ 0xFF]) + whole[place + 1 :])
    elif kind == "text":
        copy.write_text("a letter that somebody left here")
    else:
        with zipfile.ZipFile(copy, "a") as packed:
            packed.writestr("book/../../evil", "x")
    monkeypatch.setenv(REGISTER_VARIABLE, str(office / "new.sqlite"))
    assert main(["--restore", str(copy), "--into", str(office / "new")]) == 2
    said = capsys.readouterr()
    assert said.err.startswith("meshcore_estimator: ")
    assert "Traceback" not in said.err
    assert not (office / "new").exists()
    assert not (office / "new.sqlite").exists()
    assert not (office.parent / "evil").exists()


def test_health_names_what_cannot_be_read(office: Path) -> None:
    assert [(one.what, one.wrong) for one in set_up.health()] == [
        ("price book", ""), ("supply policy", ""), ("register", "")]  # fmt: skip
    (office / "price_book.toml").write_text("[book")
    (office / "register.sqlite").write_bytes(b"no register, and long enough to be looked at " * 20)
    assert {one.what for one in set_up.health() if one.wrong} == {"price book", "register"}


def test_two_people_share_the_register_and_nothing_else(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv(DEMO_VARIABLE, "1")
    monkeypatch.setenv(REGISTER_VARIABLE, str(tmp_path / "register.sqlite"))
    people = [shown(on_enquiry(AppTest.from_file(SCRIPT, default_timeout=120)).run())
              for _ in range(3)]  # fmt: skip
    for number, app in enumerate(people):
        app.session_state["on_file"] = True
        app.text_input(key="ask_quantity").set_value(str(41 + number)).run()
        app.text_input(key="save_title").set_value(f"mine alone {number}").run()
    for number, app in enumerate(people):
        app.run()
        assert app.text_input(key="ask_quantity").value == str(41 + number)
        told = "".join(page_texts(app))
        assert not [n for n in range(3) if n != number and f"mine alone {n}" in told]
    drafts = {app.query_params["draft"] if isinstance(app.query_params["draft"], str)
              else app.query_params["draft"][0] for app in people}  # fmt: skip
    assert len(drafts) == 3
    people[0].button(key="save_estimate").click().run()
    people[1].run()
    assert "1: mine alone 0" in " ".join(people[1].selectbox(key="file_chosen").options)


def _container() -> list[tuple[str, str]]:
    text = re.sub(r"\\\n\s*", " ", (DEPLOYED / "Containerfile").read_text())
    lines = [line for line in text.splitlines() if line and not line.startswith("#")]
    return [(word, rest) for word, _, rest in (line.partition(" ") for line in lines)]


def test_the_container_file_says_what_the_app_understands() -> None:
    held = dict(_container())
    words = json.loads(held["CMD"])
    assert words[1:3] == ["-m", "meshcore_estimator"]
    chosen = launcher._parser().parse_args(words[3:])
    assert str(chosen.port) == held["EXPOSE"]
    assert set_up.HEALTH in held["HEALTHCHECK"]
    assert f":{chosen.port}/" in held["HEALTHCHECK"]
    variables = set(re.findall(r"(MESHCORE_\w+)=", held["ENV"]))
    page = (ROOT / "docs" / "reference" / "command-line.md").read_text()
    assert variables
    assert all(f"`{name}`" in page for name in variables)
    project = tomllib.loads((ROOT / "pyproject.toml").read_text())["project"]
    asked = re.findall(r"\.whl\)\[([\w,]+)\]", held["RUN"])
    assert set(asked[0].split(",")) <= set(project["optional-dependencies"])
    # Never as root, and what is kept lies in the volume.
    assert held["USER"] != "root"
    assert all(held["VOLUME"] in one for one in re.findall(r"=(/\S+)", held["ENV"]))
    # An address for all needs sign-in or a word: the image gives none of itself.
    assert not chosen.trusted_network


def test_the_unit_file_starts_what_there_is(tmp_path: Path) -> None:
    unit = DEPLOYED / "meshcore-estimator.service"
    held = configparser.RawConfigParser(strict=False)
    held.optionxform = str  # type: ignore[assignment, method-assign]
    held.read(unit)
    for name in ("ExecStart", "ExecStartPre"):
        words = shlex.split(held["Service"][name])
        assert words[1:3] == ["-m", "meshcore_estimator"]
        launcher._parser().parse_args(words[3:])
    verify = shutil.which("systemd-analyze")
    if verify is None:
        pytest.skip("needs systemd-analyze; on Debian: apt-get install systemd")
    # Its own interpreter is not on this machine; any program that is there stands in for it.
    there = tmp_path / unit.name
    there.write_text(unit.read_text().replace("/opt/meshcore/bin/python", sys.executable)
                     .replace("User=meshcore\n", ""))  # fmt: skip
    done = subprocess.run(
        [verify, "verify", str(there)], capture_output=True, text=True, check=False
    )
    assert done.returncode == 0, done.stderr
    assert unit.stem not in done.stderr, done.stderr
