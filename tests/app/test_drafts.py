"""Drafts: what a session typed comes back by its id, and by nothing else."""

from __future__ import annotations

import sqlite3
from contextlib import closing
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest
from app_fixtures import on_enquiry
from streamlit.testing.v1 import AppTest

from meshcore.demo import DEMO_VARIABLE
from meshcore_estimator.__main__ import SCRIPT
from meshcore_estimator.shared import drafts
from meshcore_estimator.shared.keeping import PARAMETER


@pytest.fixture
def file(tmp_path: Path) -> Path:
    return tmp_path / "new folder" / "in another" / "drafts.sqlite"


def parts_of(draft: str, file: Path) -> dict[str, str]:
    resumed = drafts.resume(draft, file)
    assert resumed is not None
    return resumed[1]


def test_what_is_saved_comes_back_by_its_id(file: Path) -> None:
    hold = drafts.begin(file)
    assert drafts.save(hold, {"enquiry": "first", "list": "a, b"}, file)
    assert drafts.save(hold, {"enquiry": "second"}, file)
    assert parts_of(hold.draft, file) == {"enquiry": "second", "list": "a, b"}


def test_no_other_id_brings_it_back(file: Path) -> None:
    hold = drafts.begin(file)
    drafts.save(hold, {"enquiry": "mine"}, file)
    other = drafts.begin(file)
    assert parts_of(other.draft, file) == {}
    assert drafts.resume(hold.draft[:-1], file) is None
    assert drafts.resume("%", file) is None
    ids = {drafts.begin(file).draft for _ in range(20)}
    assert len(ids) == 20
    assert min(map(len, ids)) >= 22  # 128 bits, six to a letter


def test_who_opened_it_last_holds_it(file: Path) -> None:
    first = drafts.begin(file)
    drafts.save(first, {"enquiry": "ours"}, file)
    resumed = drafts.resume(first.draft, file)
    assert resumed is not None
    assert not drafts.save(first, {"enquiry": "late"}, file)
    assert drafts.save(resumed[0], {"enquiry": "mine now"}, file)
    assert parts_of(first.draft, file) == {"enquiry": "mine now"}


def test_parts_are_written_all_or_none(file: Path) -> None:
    hold = drafts.begin(file)
    drafts.save(hold, {"enquiry": "old"}, file)
    broken: dict[str, str] = {"enquiry": "new", "list": object()}  # type: ignore[dict-item]
    with pytest.raises(drafts.DraftsError):
        drafts.save(hold, broken, file)
    assert parts_of(hold.draft, file) == {"enquiry": "old"}


def test_drafts_nobody_opened_are_given_up(file: Path) -> None:
    old, kept = drafts.begin(file), drafts.begin(file)
    drafts.save(old, {"enquiry": "forgotten"}, file)
    opened = (datetime.now(UTC) - drafts.KEPT_FOR - timedelta(days=1)).isoformat()
    with closing(sqlite3.connect(file)) as opened_file, opened_file:
        opened_file.execute("UPDATE drafts SET opened_at = ? WHERE id = ?", (opened, old.draft))
    drafts.begin(file)
    assert drafts.resume(old.draft, file) is None
    assert drafts.resume(kept.draft, file) is not None
    with closing(sqlite3.connect(file)) as opened_file:
        assert opened_file.execute("SELECT count(*) FROM parts").fetchone() == (0,)


def test_a_file_that_is_none_is_named(file: Path) -> None:
    file.parent.mkdir(parents=True)
    file.write_text("a letter that somebody left here, long enough not to be taken for empty")
    with pytest.raises(drafts.DraftsError, match=r"drafts\.sqlite"):
        drafts.begin(file)


def test_nobody_else_on_the_machine_reads_the_file(file: Path) -> None:
    drafts.begin(file)
    assert file.stat().st_mode & 0o077 == 0


def opened(draft: str = "") -> AppTest:
    app = on_enquiry(AppTest.from_file(SCRIPT, default_timeout=60))
    if draft:
        app.query_params[PARAMETER] = draft
    return app.run()


def address_of(app: AppTest) -> str:
    """Id of the draft in the address."""
    held = app.query_params[PARAMETER]
    return held if isinstance(held, str) else held[0]


def test_a_session_that_types_nothing_has_no_draft(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv(DEMO_VARIABLE, "1")
    app = opened()
    assert PARAMETER not in app.query_params


def test_the_address_brings_the_enquiry_back(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv(DEMO_VARIABLE, "1")
    app = opened()
    app.text_input(key="ask_quantity").set_value("17").run()
    app.multiselect(key="ask_services").set_value(["certificate"]).run()
    draft = address_of(app)
    again = opened(draft)
    assert not again.exception
    assert again.text_input(key="ask_quantity").value == "17"
    assert again.multiselect(key="ask_services").value == ["certificate"]
    assert opened().text_input(key="ask_quantity").value == "3"

    # The first session goes on under an address of its own, the second keeps this one.
    app.text_input(key="ask_quantity").set_value("18").run()
    own = address_of(app)
    assert own != draft
    again.text_input(key="ask_quantity").set_value("19").run()
    assert address_of(again) == draft
    assert opened(own).text_input(key="ask_quantity").value == "18"
    assert opened(draft).text_input(key="ask_quantity").value == "19"


def test_a_draft_that_is_gone_is_said(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv(DEMO_VARIABLE, "1")
    app = opened("nobodys-draft")
    assert not app.exception
    assert any("not kept here any more" in element.value for element in app.html)
    assert PARAMETER not in app.query_params


def test_drafts_that_cannot_be_kept_are_said_and_the_work_goes_on(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    monkeypatch.setenv(drafts.DRAFTS_VARIABLE, str(tmp_path))
    app = opened()
    app.text_input(key="ask_mesh_count").set_value("10 / in").run()
    assert not app.exception
    app.run()
    assert any("not kept over a reload" in element.value for element in app.html)
    assert app.text_input(key="ask_mesh_count").value == "10 / in"
