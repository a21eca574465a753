"""Where a desk listens: two at once, a port that is taken, and a machine without a browser."""

from __future__ import annotations

import pytest

from girderply.cli.desk import _browse
from girderply.desk.folder import Folder
from girderply.desk.serve import LOOPBACK, opened, own_port
from girderply.errors import OutputError


def test_a_folder_has_its_own_port_and_a_second_desk_of_it_another(tmp_path):
    folder = Folder.at(tmp_path)
    port = own_port(folder)
    if not port:
        pytest.skip("another program listens there just now")
    assert own_port(folder) == port, "what a browser kept for it is found again"
    with opened(port) as first:
        first.listen(1)
        assert own_port(folder) == 0
        with opened(own_port(folder)) as second:
            assert second.getsockname()[0] == LOOPBACK
            assert second.getsockname()[1] != port


def test_a_port_that_is_taken_is_said_in_words():
    with opened(0) as first:
        first.listen(1)
        port = first.getsockname()[1]
        with pytest.raises(OutputError, match=f"port {port} cannot be used.*leave --port out"):
            opened(port).__enter__()


@pytest.mark.parametrize("port", [-1, 70_000])
def test_what_is_no_port_is_said_in_words(port):
    with pytest.raises(OutputError, match="cannot be used"):
        opened(port).__enter__()


@pytest.mark.parametrize("fault", [None, OSError("none")])
def test_a_missing_browser_is_said_with_what_to_do(monkeypatch, capsys, fault):
    def browse(_: str) -> bool:
        if fault is not None:
            raise fault
        return False

    monkeypatch.setenv("BROWSER", "one")
    _browse("http://127.0.0.1:1/", browse)
    assert "open the address above in one by hand" in capsys.readouterr().err
