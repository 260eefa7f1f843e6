"""DCC packets against the standards' own bytes, bits, times and sequences."""

from __future__ import annotations

from functools import reduce
from itertools import pairwise
from operator import xor

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from sources import truth

from fxstudio.dcc import framing, sequences, write_rules
from fxstudio.dcc.drive_packets import drive_messages, too_fast
from fxstudio.dcc.framing import Packet, packet_from_bits, packet_from_hex
from fxstudio.dcc.instructions import (
    FORMATS,
    FUNCTION_FORMATS,
    SPEED_28,
    SPEED_126,
    SPEED_SCALES,
    format_named,
)
from fxstudio.dcc.packets import (
    EVERYONE,
    NOBODY,
    RESET,
    Message,
    decode_packet,
    encode_packet,
    functions,
    groups_of,
    locomotive,
    long_address_cvs,
    speed,
    stop_at_once,
)
from fxstudio.effect.drive import Drive, Step
from fxstudio.effect.keys import KEYS
from fxstudio.errors import InputError

PACKETS = truth("dcc_packets.csv")


def message_of(row: dict[str, str]) -> Message:
    """The message that a row of the truth file names in words."""
    address = {"broadcast": EVERYONE, "idle": NOBODY}.get(row["address"])
    if address is None and row["address"]:
        address = locomotive(int(row["address"]))
    given_numbers = dict(part.split("=") for part in row["numbers"].split())
    if "on" in given_numbers:
        on = given_numbers["on"].split("+")
        return functions(address, on, groups_of(on[-1:]))[0]
    return Message(row["name"], {k: int(v) for k, v in given_numbers.items()}, address)


# -- bytes and bits ---------------------------------------------------------------------------


@pytest.mark.parametrize("row", PACKETS, ids=lambda r: f"{r['known']}-{r['bytes']}")
def test_bytes_of_the_standards(row):
    message = message_of(row)
    on_programming_track = row["track"] == "programming track"
    wanted = packet_from_hex(row["bytes"])
    assert decode_packet(wanted, on_programming_track) == message
    assert encode_packet(message).data == wanted.data


def test_bits_of_the_standards_own_example():
    # Printed in NMRA S-9.2 (2004), figure of an example packet: locomotive 55, forward, step 6 of
    # 28, with a preamble of 12 bits.
    printed = "111111111111 0 00110111 0 01110100 0 01000011 1"
    message = speed(locomotive(55), 6, True, SPEED_28)
    assert Packet(encode_packet(message).data, 12).bits == printed
    assert decode_packet(packet_from_bits(printed)) == message
    assert str(message) == "locomotive 55 (short address): step 6 of 28, forward"


@pytest.mark.parametrize("row", truth("dcc_durations.csv"), ids=lambda r: r["bytes"])
def test_bits_and_duration(row):
    packet = packet_from_hex(row["bytes"])
    assert len(packet.bits.replace(" ", "")) == int(row["bits"])
    assert packet.duration_us == float(row["duration_us"])


@pytest.mark.parametrize("row", truth("dcc_half_bits.csv"), ids=lambda r: f"{r['bit']}{r['side']}")
def test_half_bits_of_s_9_1(row):
    half = framing.HALF_BITS[row["bit"], row["side"]]
    assert half == tuple(float(row[name]) for name in ("least", "nominal", "most"))


@pytest.mark.parametrize("row", truth("speed_steps_28.csv"), ids=lambda r: r["cssss"])
def test_28_steps_of_s_9_2(row):
    c, ssss = row["cssss"][0], row["cssss"][1:]
    message = decode_packet(Packet.holding(bytes([3, int(f"011{c}{ssss}", 2)])))
    said = row["meaning"]
    expected = f"step {said} of 28, forward" if said.isdigit() else f"{said}, forward"
    assert str(message).endswith(f": {expected}")


@pytest.mark.parametrize("row", truth("long_addresses.csv"), ids=lambda r: r["address"])
def test_long_addresses(row):
    assert long_address_cvs(int(row["address"])) == (int(row["cv17"]), int(row["cv18"]))


# -- properties -------------------------------------------------------------------------------

addresses = st.one_of(
    st.integers(1, 10239).map(locomotive),
    st.integers(1, 127).map(lambda number: locomotive(number, long=True)),
)


@st.composite
def messages(draw):
    """Any message that may be sent."""
    row = draw(st.sampled_from(FORMATS))
    numbers = {f.name: draw(st.integers(f.lowest, f.highest)) for f in row.fields}
    if row.name in ("write byte", "write bit") and numbers["cv"] in (1, 7, 8, 17):
        numbers["cv"] = 49
    return Message(row.name, numbers, None if row.programming_track else draw(addresses))


@given(messages())
def test_decode_undoes_encode(message):
    packet = encode_packet(message)
    assert decode_packet(packet, message.address is None) == message
    assert packet_from_bits(packet.bits).data == packet.data
    assert packet_from_hex(str(packet)).data == packet.data


@given(messages())
def test_every_packet_is_whole(message):
    packet = encode_packet(message)
    assert reduce(xor, packet.data) == 0  # NMRA S-9.2 (2004), A
    assert 3 <= len(packet.data) <= 6  # NMRA S-9.2.1 (2012)
    bits = packet.bits.replace(" ", "")
    assert len(bits) == packet.preamble_bits + 9 * len(packet.data) + 1
    assert packet.preamble_bits == (20 if message.address is None else 14)


@pytest.mark.parametrize("address", [None, locomotive(3), locomotive(10239)], ids=str)
def test_all_cv_numbers_round_trip(address):
    for cv in range(1, 1025):
        message = Message("verify byte", {"cv": cv, "value": 0}, address)
        packet = encode_packet(message)
        at = 0 if address is None else len(address.data)
        assert (packet.data[at] & 3) << 8 | packet.data[at + 1] == cv - 1
        assert decode_packet(packet, address is None) == message


def test_formats_of_one_track_never_overlap():
    # Two rows overlap unless some bit is fixed to 0 in one and to 1 in the other.
    for track in (False, True):
        rows = [row for row in FORMATS if row.programming_track == track]
        for at, one in enumerate(rows):
            for other in rows[at + 1 :]:
                differ = {"01", "10"} & {a + b for a, b in zip(one.bits, other.bits, strict=False)}
                assert one.size != other.size or differ, f"{one.name} and {other.name}"


def test_every_function_key_stands_in_one_group():
    assert sorted(key for row in FUNCTION_FORMATS for key in row.keys) == sorted(KEYS)


@pytest.mark.parametrize("name", SPEED_SCALES)
def test_every_step_has_a_code_of_its_own(name):
    steps = range(SPEED_SCALES[name].steps + 1)
    codes = [speed(locomotive(3), step, name=name).numbers["speed"] for step in steps]
    codes.append(stop_at_once(locomotive(3), name=name).numbers["speed"])
    assert len(set(codes)) == len(codes)
    assert max(codes) == format_named(name).fields[1].highest


# -- addresses and bad input ------------------------------------------------------------------


def test_short_and_long():
    assert locomotive(127).kind == "short"
    assert locomotive(128).kind == "long"
    assert locomotive(3, long=True).data == bytes([0xC0, 3])  # common practice
    assert locomotive(3).data == bytes([3])


@pytest.mark.parametrize("number", [0, -1, 10240])
def test_addresses_that_cannot_be(number):
    with pytest.raises(InputError, match=r"allowed: 1 to 127 \(short\), 128 to 10239 \(long\)"):
        locomotive(number)


@pytest.mark.parametrize(
    ("cv", "value", "field"), [(0, 1, "cv"), (1025, 1, "cv"), (49, 256, "value"), (49, -1, "value")]
)
@pytest.mark.parametrize("address", [None, locomotive(3)], ids=str)
def test_cvs_and_values_that_cannot_be(cv, value, field, address):
    with pytest.raises(InputError, match="is out of range") as caught:
        encode_packet(Message("write byte", {"cv": cv, "value": value}, address))
    assert caught.value.field == field


@pytest.mark.parametrize("cv", [7, 8])
@pytest.mark.parametrize("numbers", [{"value": 8}, {"bit": 1, "bit_value": 1}])
def test_read_only_cvs_are_never_written(cv, numbers):
    name = "write byte" if "value" in numbers else "write bit"
    with pytest.raises(InputError, match=rf"CV{cv} is the maker's .* and is not written"):
        encode_packet(Message(name, {"cv": cv, **numbers}))
    encode_packet(Message(name.replace("write", "verify"), {"cv": cv, **numbers}))


# Ranges: NMRA S-9.2.2 (2012).
@pytest.mark.parametrize(("cv", "value"), [(17, 191), (17, 232), (1, 128)])
def test_address_cvs_keep_their_range(cv, value):
    with pytest.raises(InputError, match=f"CV{cv} is the .* address and cannot hold this"):
        encode_packet(Message("write byte", {"cv": cv, "value": value}))


# Ranges: NMRA S-9.2.2 (2012): CV1 is 1 to 127, 0....... in bits, and CV17 is 192 to 231,
# 11000000 to 11100111. Bits by hand.
FIXED_BITS = {(1, 7): 0, (17, 7): 1, (17, 6): 1}


@pytest.mark.parametrize("cv", [1, 17, 18, 29])
@pytest.mark.parametrize("bit", range(8))
@pytest.mark.parametrize("value", [0, 1])
def test_a_bit_that_the_standard_fixes_is_not_written_otherwise(cv, bit, value):
    numbers = {"cv": cv, "bit": bit, "bit_value": value}
    if FIXED_BITS.get((cv, bit), value) == value:
        encode_packet(Message("write bit", numbers))
    else:
        with pytest.raises(InputError, match=f"bit {bit} of CV{cv} cannot be {value}"):
            encode_packet(Message("write bit", numbers))
    encode_packet(Message("verify bit", numbers))


@pytest.mark.parametrize(
    ("text", "problem"),
    [
        ("03 EC 30 0F D1", "the error byte does not fit.*\n.*\n  allowed: D0 as the last byte"),
        ("03 EC 3", "is not a packet"),
        ("hello", "is not a packet"),
        ("", "is not a packet"),
        ("03 03", "a packet of 2 bytes cannot be"),
        ("01 02 03 04 05 06 07", "a packet of 7 bytes cannot be"),
    ],
)
def test_packets_that_are_none(text, problem):
    with pytest.raises(InputError, match=problem):
        packet_from_hex(text)


@pytest.mark.parametrize(
    ("text", "problem"),
    [
        ("1" * 9 + " 0 00000000 0 00000000 0 00000000 1", "preamble of 9 bits is too short"),
        ("1" * 14 + " 0 00000000 0 00000000 0 0000000 1", "is not a packet"),
        ("1" * 14 + " 0 00000000 0 00000000 0 00000000", "is not a packet"),
        ("1" * 14 + " 0 00000000 0 0000000x 0 00000000 1", "is not a packet"),
    ],
)
def test_bits_that_are_no_packet(text, problem):
    with pytest.raises(InputError, match=problem):
        packet_from_bits(text)


@pytest.mark.parametrize(
    ("text", "why"),
    [
        ("80 00 80", "points and other accessories"),
        ("FE 00 FE", "reserved"),
        ("03 DC DF", "not in the table"),
    ],
)
def test_packets_that_are_not_for_locomotives(text, why):
    with pytest.raises(InputError, match=why):
        decode_packet(packet_from_hex(text))


# -- sequences --------------------------------------------------------------------------------


def test_programming_track_sequence_of_s_9_2_3():
    # NMRA S-9.2.3 (2012), E: 3 or more resets, 5 or more writes, 6 or more writes or resets; a
    # preamble of 20 bits or more.
    sends = sequences.sequence(sequences.write_messages([(49, 15)], None))
    sent = sequences.stream(sends, spaced=False)
    assert [str(packet) for packet in sent] == (
        ["00 00 00"] * 3 + ["7C 30 0F 43"] * 5 + ["00 00 00"] * 6
    )
    assert all(packet.preamble_bits >= 20 for packet in sent)


def gaps_us(packets, address: bytes) -> list[float]:
    """Time in µs from the end of each packet of an address to the start bit of its next one.

    Counted along the rails, while `stream` only ever looks at two neighbours.
    """
    starts = np.cumsum([0, *(packet.duration_us for packet in packets)])
    mine = [at for at, packet in enumerate(packets) if packet.data.startswith(address)]
    return [starts[b] + packets[b].preamble_us - starts[a + 1] for a, b in pairwise(mine)]


@pytest.mark.parametrize("address", [locomotive(3), locomotive(1234)], ids=str)
def test_a_write_on_the_main_is_sent_twice_with_nothing_for_that_decoder_between(address):
    sends = sequences.sequence(sequences.write_messages([(49, 15), (50, 0)], address))
    sent = sequences.stream(sends, spaced=True)
    # NMRA S-9.2.1 (2012): two identical packets, and no other to that decoder or to all between.
    for_it = [p.data for p in sent if p.data[:1] in (address.data[:1], RESET.data[:1])]
    assert [for_it.count(data) for data in dict.fromkeys(for_it)] == [2, 2]
    assert for_it[0] == for_it[1]
    # NMRA S-9.2 (2004), C: 5 ms or more to the next packet for the same address.
    gaps = gaps_us(sent, address.data)
    assert len(gaps) == 3
    assert min(gaps) >= 5000
    assert min(gaps_us([p for p in sent if p.data[0] != 0xFF], address.data)) < 5000


def test_other_locomotives_need_no_gap():
    # Their long addresses begin with the same byte.
    ones = [sequences.Send(encode_packet(speed(locomotive(n), 0)), 1, "") for n in (1234, 1235)]
    assert len(sequences.stream(ones, spaced=True)) == 2


def test_what_is_told_before_a_write():
    def told(writes, track):
        return " ".join(write_rules.notes(writes, track))

    assert "CV17 alone does nothing" in told([(17, 192)], "main")
    assert "half a long address" in told([(18, 128)], "main")
    both = told([(17, 192), (18, 128)], "main")
    assert "alone" not in both
    assert "bit 5 of CV29" in both
    # NMRA S-9.2.3 (2012): a write of CV1 there clears bit 5 of CV29, and CV19.
    assert "clears bit 5 of CV29, and CV19" in told([(1, 3)], "programming track")
    assert "CV1023" in told([(1024, 3)], "programming track")
    assert not told([(1024, 3)], "main")
    assert not told([(49, 15)], "main")


# Values worked out by hand from the bits in NMRA S-9.2.2 (2012).
@pytest.mark.parametrize(
    ("value", "said"),
    [
        (2, {"runs forward as built", "28 or 126 speed steps", "digital track only", "short"}),
        (6, {"runs forward as built", "28 or 126 speed steps", "analogue", "short"}),
        (34, {"28 or 126 speed steps", "long address of CV17 and CV18"}),
        (3, {"turned round", "28 or 126 speed steps", "short address of CV1"}),
    ],
)
def test_cv29_in_words(value, said):
    note = next(write_rules.notes([(29, value)], "main"))
    assert all(words in note for words in said)
    assert len(write_rules.cv29_words(value).split("; ")) == 6
    assert "says" not in next(write_rules.notes([(29, 1)], "main", as_bit=True))


@pytest.mark.parametrize(
    ("writes", "problem"),
    [
        ([(49, 1), (50, 1), (49, 2)], "CV49 stands in the list twice"),
        ([(18, 1), (17, 192)], "one number in two halves"),
        ([(17, 192), (49, 1), (18, 1)], "one number in two halves"),
    ],
)
def test_lists_that_cannot_be_written(writes, problem):
    with pytest.raises(InputError, match=problem):
        sequences.write_messages(writes, locomotive(3))


# -- a drive ----------------------------------------------------------------------------------

DRIVE = Drive(
    length_s=12.0,
    steps=(
        Step(at_s=0.0, travel="forward", speed_kmh=0, keys=("F1",)),
        Step(at_s=2.0, speed_kmh=50, over_s=4.0),
        Step(at_s=7.25, keys=("F1", "F13")),
        Step(at_s=8.0, travel="stopped"),
        Step(at_s=10.0, travel="reverse", speed_kmh=200),
    ),
)


@pytest.mark.parametrize("name", SPEED_SCALES)
def test_a_drive_is_followed_by_its_packets(name):
    sent = drive_messages(DRIVE, locomotive(3), speed_format=name)
    scale = SPEED_SCALES[name]
    speeds = [(at, m) for at, m in sent if m.name == name]
    times = np.array([at for at, _ in speeds])
    # What a decoder knows at each moment is the last packet it heard.
    asked = DRIVE.at(np.arange(0, 12, 0.5))
    for at, kmh, forward in zip(np.arange(0, 12, 0.5), asked.speed_kmh, asked.forward, strict=True):
        heard = speeds[int(np.searchsorted(times, at, side="right")) - 1][1]
        code = heard.numbers["speed"]
        step = 0 if code == 0 else code - scale.first + 1
        assert step == pytest.approx(min(kmh / 100, 1) * scale.steps, abs=0.51)
        assert heard.numbers["forward"] == forward
    switched = [(at, m.keys) for at, m in sent if m.row.keys]
    assert switched == [(0.0, ("F1",)), (0.0, ()), (7.25, ("F13",))]
    assert [at for at, _ in sent] == sorted(at for at, _ in sent)


def test_a_drive_faster_than_the_highest_step_is_told():
    assert "reaches 200 km/h; above 100 km/h" in too_fast(DRIVE, 100.0)
    assert too_fast(DRIVE, 200.0) is None


def test_a_standing_locomotive_gets_step_0_and_a_crawling_one_step_1():
    crawl = Drive(length_s=4.0, steps=(Step(speed_kmh=0.1), Step(at_s=2.0, speed_kmh=0)))
    codes = [m.numbers["speed"] for _, m in drive_messages(crawl, locomotive(3))]
    assert codes == [SPEED_SCALES[SPEED_126].first, 0]


@pytest.mark.parametrize("option", ["top_speed_kmh", "every_s"])
@pytest.mark.parametrize("number", [0.0, -1.0, float("nan"), float("inf")])
def test_drive_numbers_that_cannot_be(option, number):
    with pytest.raises(InputError, match="cannot be used"):
        drive_messages(DRIVE, locomotive(3), **{option: number})
