"""What may be given to the commands about packets, and their help."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Annotated

import typer

from fxstudio.cli.commands import group
from fxstudio.cli.given.options import EffectName

AddressOption = Annotated[
    int | None,
    typer.Option(
        "--address", "-a", help="The locomotive's number: 1 to 127 short, 128 to 10239 long."
    ),
]
LongOption = Annotated[
    bool, typer.Option("--long", help="Use a long address although the number is below 128.")
]
TrackOption = Annotated[
    bool,
    typer.Option("--programming-track", help="Programming track: direct mode, without an address."),
]
BitOption = Annotated[
    int | None, typer.Option(help="Only this bit of the CV, 0 to 7; --value is then 0 or 1.")
]
BitsOption = Annotated[bool, typer.Option("--bits", help="Also show every packet as bits.")]
CvOption = Annotated[list[int], typer.Option(help="Number of the CV, 1 to 1024.")]
ValueOption = Annotated[list[int], typer.Option(help="What to write there, 0 to 255.")]


@dataclass(frozen=True)
class WriteOptions:
    """Show the packets that write CVs; repeat --cv and --value to write several.

    Examples:
        fxstudio packets write --cv 49 --value 15 --cv 50 --value 7 --programming-track
        fxstudio packets write --address 3 --cv 29 --bit 5 --value 1

    Try it in a new folder:
        fxstudio packets write --address 3 --cv 49 --value 15
    """

    cv: CvOption
    value: ValueOption
    address: AddressOption = None
    bit: BitOption = None
    long: LongOption = False
    programming_track: TrackOption = False
    bits: BitsOption = False


@dataclass(frozen=True)
class VerifyOptions:
    """Show the packets that ask whether a CV holds a value; they change nothing in the decoder.

    Examples:
        fxstudio packets verify --address 3 --cv 29 --bit 5 --value 1

    Try it in a new folder:
        fxstudio packets verify --cv 8 --value 13 --programming-track
    """

    cv: Annotated[int, typer.Option(help="Number of the CV, 1 to 1024.")]
    value: Annotated[int, typer.Option(help="What you think it holds, 0 to 255.")]
    address: AddressOption = None
    bit: BitOption = None
    long: LongOption = False
    programming_track: TrackOption = False
    bits: BitsOption = False


@dataclass(frozen=True)
class LongAddressOptions:
    """Show the packets that give the locomotive on the programming track a long address.

    Try it in a new folder:
        fxstudio packets long-address 1234
    """

    number: Annotated[int, typer.Argument(help="The long address, 1 to 10239.")]
    bits: BitsOption = False


@dataclass(frozen=True)
class ExplainOptions:
    """See in words what a packet says.

    Examples:
        fxstudio packets explain 7C300F43 --programming-track
        fxstudio packets explain 11111111111111 0 11111111 0 00000000 0 11111111 1

    Try it in a new folder:
        fxstudio packets explain 03 EC 30 0F D0
    """

    packet: Annotated[
        list[str],
        typer.Argument(
            metavar="BYTES...", help="The packet in hexadecimal, or as bits as --bits shows them."
        ),
    ]
    programming_track: TrackOption = False
    bits: BitsOption = False


@dataclass(frozen=True)
class KeysOptions:
    """Show the packets that switch function keys; one packet switches a whole group of keys.

    Examples:
        fxstudio packets keys none --groups F0,F5 --address 1234

    Try it in a new folder:
        fxstudio packets keys F0,F2 --address 3
    """

    on: Annotated[
        str, typer.Argument(metavar="KEYS", help="Keys that are on, such as F0,F2, or none.")
    ]
    address: AddressOption = None
    groups: Annotated[
        str, typer.Option(help="Also send the groups of these keys, such as F5,F13.")
    ] = "F0"
    long: LongOption = False
    bits: BitsOption = False


@dataclass(frozen=True)
class SpeedOptions:
    """Show the packet that sets speed and direction.

    Examples:
        fxstudio packets speed 0 --address 3 --reverse --steps 28

    Try it in a new folder:
        fxstudio packets speed 40 --address 3
    """

    step: Annotated[int, typer.Argument(help="Speed step; 0 is stop.")]
    address: AddressOption = None
    reverse: Annotated[bool, typer.Option("--reverse", help="Drive backwards.")] = False
    steps: Annotated[int, typer.Option(help="How many steps there are: 126 or 28.")] = 126
    at_once: Annotated[
        bool, typer.Option("--at-once", help="With step 0: stop at once, without slowing down.")
    ] = False
    long: LongOption = False
    bits: BitsOption = False


@dataclass(frozen=True)
class DriveOptions:
    """Show the packets that play an effect's drive on a layout: direction, speed and keys.

    Examples:
        fxstudio packets drive my_fire.toml --address 1234 --steps 28

    Try it in a new folder:
        fxstudio packets drive ashpan_beat --address 3
    """

    effect: EffectName
    address: AddressOption = None
    steps: Annotated[int, typer.Option(help="How many speed steps: 126 or 28.")] = 126
    top_speed: Annotated[
        float, typer.Option(metavar="KMH", help="Full-size speed at the highest step, in km/h.")
    ] = 100.0
    every: Annotated[
        float,
        typer.Option(metavar="SECONDS", help="Time between packets while the speed changes."),
    ] = 0.5
    long: LongOption = False
    bits: BitsOption = False


packets = group(
    """Show the DCC packets that a command station sends: bytes, bits and time.

    fxstudio sends nothing. It only shows the packets, for people who build stations or want to
    know what one sends.""",
    {
        WriteOptions: "packets.cvs:write",
        VerifyOptions: "packets.cvs:verify",
        LongAddressOptions: "packets.cvs:long_address",
        ExplainOptions: "packets.cvs:explain",
        KeysOptions: "packets.running:keys",
        SpeedOptions: "packets.running:speed",
        DriveOptions: "packets.running:drive",
    },
)
