"""`fxstudio list` as people use it."""

from __future__ import annotations

from fxstudio.decoder.leaflet.files import shipped as decoders
from fxstudio.effect.files import shipped_effects


def test_list_shows_all_there_is(run):
    code, out, _ = run("list")
    assert code == 0
    for word in (*shipped_effects(), *decoders(), "flicker", "scene cab", "flames"):
        assert word in out
