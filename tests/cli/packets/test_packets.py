"""`fxstudio packets` as people use it."""

from __future__ import annotations

import re

import pytest

from fxstudio.dcc.framing import packet_from_bits, packet_from_hex
from fxstudio.dcc.packets import decode_packet, locomotive

HEX = re.compile(r"\b[0-9A-F]{2}(?: [0-9A-F]{2}){2,5}\b")


def test_write_on_the_main(run):
    code, out, _ = run("packets", "write", "--address", 3, "--cv", 49, "--value", 15, "--bits")
    assert code == 0
    assert HEX.findall(out)[0] == "03 EC 30 0F D0"  # computed from NMRA S-9.2.1 (2012)
    assert "write 15 to CV49" in out
    assert "3 packets, with an idle packet (FF 00 FF)" in out
    bits = re.search(r"^  (1{14} [01 ]+)$", out, re.M)
    assert str(packet_from_bits(bits[1])) == "03 EC 30 0F D0"
    assert "let no other one answer to it" in out
    assert "Note the present values" in out


def test_write_on_the_programming_track(run):
    code, out, _ = run(
        "packets",
        "write",
        "--cv",
        49,
        "--value",
        15,
        "--cv",
        50,
        "--value",
        0,
        "--programming-track",
    )
    assert code == 0
    rows = re.findall(r"│\s+(\d+) │ ([0-9A-F ]+?) +│", out)
    # NMRA S-9.2.3 (2012), E: resets, writes, time to recover.
    reset = "00 00 00"
    assert rows[:3] == [("3", reset), ("5", "7C 30 0F 43"), ("6", reset)]
    assert rows[4] == ("5", "7C 31 00 4D")
    assert "28 packets" in out
    assert "put only this one locomotive there" in out


def test_write_one_bit(run):
    code, out, _ = run("packets", "write", "-a", 3, "--cv", 29, "--bit", 5, "--value", 1)
    assert code == 0
    assert "03 E8 1C FD 0A" in out  # computed from NMRA S-9.2.1 (2012)
    assert "make bit 5 of CV29 1" in out


@pytest.mark.parametrize("track", [("-a", 3), ("--programming-track",)], ids=["main", "track"])
def test_bits_that_are_shown_can_be_explained(run, track):
    write = ("packets", "write", "--cv", 49, "--value", 15)
    _, out, _ = run(*write, *track, "--bits")
    shown = next(
        line for line in re.findall(r"^  (1{14,} [01 ]+)$", out, re.M) if "00001111" in line
    )
    code, out, _ = run(
        "packets", "explain", shown, "--bits", *(t for t in track if t != 3 and t != "-a")
    )
    assert code == 0
    assert "write 15 to CV49" in out
    assert shown in out


def test_cv17_alone_is_told(run):
    _, out, _ = run("packets", "write", "-a", 3, "--cv", 17, "--value", 196)
    assert "CV17 alone does nothing" in out


def test_verify(run):
    code, out, _ = run("packets", "verify", "--cv", 1, "--value", 3, "--programming-track")
    assert code == 0
    assert "74 00 03 77" in out  # computed from NMRA S-9.2.3 (2012)
    assert "at least 60 mA more for 6 ms" in out
    assert "can send back" in run("packets", "verify", "--cv", 8, "--value", 13, "-a", 3)[1]


def test_keys_and_speed(run):
    _, out, _ = run("packets", "keys", "F0,f13", "--address", 3)
    assert HEX.findall(out) == ["03 90 93", "03 DE 01 DC"]
    assert "F0 on; F1, F2, F3, F4 off" in out
    _, out, _ = run("packets", "keys", "none", "--groups", "F5", "--address", 1234)
    assert HEX.findall(out) == ["C4 D2 B0 A6"]
    _, out, _ = run("packets", "speed", 64, "--address", 3)
    assert HEX.findall(out) == ["03 3F C1 FD"]
    assert "keep hands" in out
    _, out, _ = run("packets", "speed", 6, "--address", 55, "--steps", 28)
    assert HEX.findall(out) == ["37 74 43"]  # printed in NMRA S-9.2 (2004)
    _, out, _ = run("packets", "speed", 0, "--address", 3, "--at-once")
    assert HEX.findall(out) == ["03 3F 81 BD"]


def test_drive_of_a_shipped_effect(run):
    code, out, _ = run("packets", "drive", "ashpan_beat", "--address", 1234, "--steps", 28)
    assert code == 0
    said = [decode_packet(packet_from_hex(text)) for text in HEX.findall(out) if text[:2] != "FF"]
    assert {message.address for message in said} == {locomotive(1234)}
    assert [str(m).split(": ")[1] for m in said if not m.row.keys][-1] == "stop, forward"
    assert [m.keys for m in said if m.row.keys] == [("F1",)]
    assert "keep hands" in out


def test_a_drive_too_fast_is_told(run):
    out = run("packets", "drive", "ashpan_beat", "-a", 3, "--top-speed", 10)[1]
    assert "reaches 14 km/h; above 10 km/h" in out


def test_long_address(run):
    code, out, _ = run("packets", "long-address", 1234)
    assert code == 0
    assert "CV17 = 196, CV18 = 210" in out
    assert [p for p in HEX.findall(out) if p != "00 00 00"] == [
        "7C 10 C4 A8",
        "7C 11 D2 BF",
        "78 1C FD 99",
    ]


def test_explain(run):
    assert "write 15 to CV49" in run("packets", "explain", "03 EC 30 0F D0")[1]
    assert "write 15 to CV49" in run("packets", "explain", "7C300F43", "--programming-track")[1]
    assert "idle" in run("packets", "explain", "FF", "00", "FF")[1]
    assert "every locomotive: forget" in run("packets", "explain", "00 00 00")[1]


CV = ("--cv", 49, "--value", 15)


@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        (("write", "-a", 0, *CV), "0 is every locomotive at once"),
        (("write", "-a", 10240, *CV), "128 to 10239 (long)"),
        (("write", *CV), "which locomotive?"),
        (("write", "-a", 3, "--programming-track", *CV), "has no addresses"),
        (("write", "-a", 3, "--cv", 0, "--value", 1), "allowed: 1 to 1024"),
        (("write", "-a", 3, "--cv", 1025, "--value", 1), "allowed: 1 to 1024"),
        (("write", "-a", 3, "--cv", 49, "--value", 256), "allowed: 0 to 255"),
        (("write", "-a", 3, "--cv", 49, "--value", "1,5"), "valid integer"),
        (("write", "-a", 3, "--cv", 8, "--value", 8), "CV8 is the maker's number"),
        (("write", "-a", 3, *CV, *CV), "CV49 stands in the list twice"),
        (("write", "-a", 3, *CV, "--cv", 50), "each CV needs its value"),
        (("write", "-a", 3, *CV, "--cv", 50, "--value", 1, "--bit", 1), "a bit of which CV?"),
        (("write", "-a", 3, "--cv", 49, "--bit", 8, "--value", 1), "allowed: 0 to 7"),
        (("write", "-a", 3, "--cv", 49, "--bit", 1, "--value", 2), "allowed: 0 to 1"),
        (("keys", "F29", "-a", 3), "is not a function key"),
        (("keys", "light", "-a", 3), "is not a function key"),
        (("speed", 127, "-a", 3), "allowed: 0 (stop) to 126"),
        (("speed", 5, "-a", 3, "--at-once"), "stops at once has no speed"),
        (("speed", 5, "-a", 3, "--steps", 14), "allowed: 28 or 126"),
        (("drive", "no_such_effect", "-a", 3), "there is no effect of this name"),
        (("drive", "ashpan_beat", "-a", 3, "--top-speed", 0), "cannot be used"),
        (("long-address", 10240), "128 to 10239 (long)"),
        (("explain", "03 EC 30 0F D1"), "the error byte does not fit"),
        (("explain", "banana"), "is not a packet"),
    ],
)
def test_bad_input_is_told_in_one_message(run, arguments, said):
    code, out, err = run("packets", *arguments)
    assert code == 2
    assert said in err
    assert not HEX.search(out)
