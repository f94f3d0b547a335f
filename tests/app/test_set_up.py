"""Who may reach the app, and what ``--check`` finds."""

from __future__ import annotations

from pathlib import Path

import pytest

from meshcore.demo import BOOK_VARIABLE
from meshcore.supply.shapes.drawing_files import DRAWINGS_VARIABLE
from meshcore_estimator import set_up
from meshcore_estimator.__main__ import main
from meshcore_estimator.access import ACCESS_VARIABLE

pytest.importorskip("streamlit")


@pytest.fixture(autouse=True)
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setattr(set_up, "SECRETS", (tmp_path / "none.toml", tmp_path / "secrets.toml"))
    monkeypatch.setenv("MESHCORE_REGISTER", str(tmp_path / "register.sqlite"))
    # What a command line puts there is taken away again.
    monkeypatch.setenv(ACCESS_VARIABLE, "")
    return tmp_path


@pytest.mark.parametrize("address", ["0.0.0.0", "192.168.1.7", "office.example", ""])
def test_another_address_needs_sign_in_or_an_explicit_word(
    address: str, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    served: list[list[str]] = []
    monkeypatch.setattr("streamlit.web.cli.main", lambda words, **_: served.append(words))
    assert main(["--address", address]) == 2
    assert "--trusted-network" in capsys.readouterr().err
    assert not served
    assert main(["--address", address, "--trusted-network"]) == 0
    assert main([]) == 0
    assert len(served) == 2
    assert "--server.address=localhost" in served[1]
    assert "--client.showErrorDetails=none" in served[1]


def test_sign_in_is_looked_at(folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("importlib.util.find_spec", lambda _: object())
    secrets = folder / "secrets.toml"
    assert "no .streamlit/secrets.toml" in set_up.wrong_with_sign_in()
    secrets.write_text("[auth]\nclient_id = 'x'\n")
    assert "lacks redirect_uri, cookie_secret" in set_up.wrong_with_sign_in()
    whole = "[auth]\n" + "".join(
        f'{name} = "{"x" * 40}"\n'
        for name in ("redirect_uri", "cookie_secret", "client_id", "client_secret",
                     "server_metadata_url")
    )  # fmt: skip
    secrets.write_text(whole)
    assert "name a file of roles with --access" in set_up.wrong_with_sign_in()
    (folder / "access.toml").write_text('otherwise = "viewer"\n')
    monkeypatch.setenv(ACCESS_VARIABLE, str(folder / "access.toml"))
    assert not set_up.wrong_with_sign_in()
    assert not set_up.wrong_with_address("0.0.0.0", trusted=False)
    secrets.write_text(whole.replace("x" * 40, "short"))
    assert "cookie_secret is shorter" in set_up.wrong_with_sign_in()
    secrets.write_text("[auth")
    assert "cannot be read" in set_up.wrong_with_sign_in()


def test_headers_of_a_proxy_are_trusted_on_this_machine_alone(
    folder: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    roles = folder / "access.toml"
    roles.write_text('otherwise = "refused"\n[proxy]\nemail = "X-Forwarded-Email"\n')
    assert main(["--check", "--access", str(roles)]) == 0
    assert "roles: good" in capsys.readouterr().out
    for words in ([], ["--trusted-network"]):
        assert main(["--address", "0.0.0.0", "--access", str(roles), *words]) == 2
        assert "the headers of [proxy]" in capsys.readouterr().err
    roles.write_text("[proxy]\n")
    assert main(["--access", str(roles)]) == 2
    assert "otherwise: say what people are" in capsys.readouterr().err


def test_check_names_what_is_wrong(
    folder: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["--check"]) == 0
    assert "price book: good" in capsys.readouterr().out
    (folder / "book.toml").write_text("[book")
    monkeypatch.setenv(BOOK_VARIABLE, str(folder / "book.toml"))
    assert main(["--check", "--address", "0.0.0.0"]) == 2
    told = capsys.readouterr().out
    assert "not TOML" in told
    assert "reached from other machines" in told


def test_the_server_reads_drawings_in_its_own_folder_alone(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    import os  # noqa: PLC0415

    held: list[str] = []
    monkeypatch.setenv(DRAWINGS_VARIABLE, "")
    monkeypatch.setattr(
        "streamlit.web.cli.main", lambda *_, **__: held.append(os.environ[DRAWINGS_VARIABLE])
    )
    assert main([]) == 0
    assert Path(held[0]).name.startswith("meshcore-")
