"""Six invented leaflets in plain Python: what a value of a CV says, by the leaflet alone.

Each function takes one CV with its value and gives a set of rows, or None for a value that the
leaflet forbids. A row is (who, property, value), then, where the leaflet limits it, the effects
for which it counts and the key while which it does. No light at all is the effect `dark`; what
the leaflet leaves open is a tuple: "unknown", the value that stands there, and whether more is
more of it.
"""

from __future__ import annotations

BOTH = ("both", "forward", "reverse")


def row(who, name, value, effects=(), key=None):
    return who, name, value, frozenset(effects), key


def marsh_hollow(cv, value):
    if 114 <= cv <= 118:
        who = ("white", "yellow", "green", "violet", "brown")[cv - 114]
        effects = ("dark", "steady", "random flicker", "strobe", "soft on and off")
        direction, effect = divmod(value, 5)
        if direction > 2:
            return None
        return {row(who, "effect", effects[effect]), row(who, "travel", BOTH[direction])}
    if cv in (125, 126):
        together = ("white", "yellow") if cv == 125 else ("green", "violet", "brown")
        return {row(who, "level", value / 63) for who in together} if value <= 63 else None
    every = ("white", "yellow", "green", "violet", "brown")
    if cv == 141:
        speed = ("unknown", value, True)
        return {row(who, "rate_hz", speed, ["random flicker"]) for who in every}
    if cv == 142 and 1 <= value <= 250:
        return {row(who, "on_s", value / 50, ["strobe"]) for who in every}
    if cv == 143 and 1 <= value <= 250:
        return {row(who, "period_s", value / 10, ["strobe"]) for who in every}
    if cv == 144 and value <= 31:
        return {row(who, "rise_s", value / 8, ["soft on and off"]) for who in every}
    return None


def penny_cross(cv, value):
    if 150 <= cv <= 157:
        key, direction = divmod(cv - 150, 2)
        who = f"F{key} {('forward', 'reverse')[direction]}"
        worth = {"A": 1, "B": 2, "C": 4, "D": 8}
        lit = {row(who, "lights", name) for name, bit in worth.items() if value & bit}
        return lit if value < 16 else None
    if 160 <= cv <= 163:
        who = "ABCD"[cv - 160]
        brightness, effect = divmod(value, 16)
        inverted, effect = divmod(effect, 8)
        if effect > 3:
            return None
        return {
            row(who, "effect", ("plain", "candle", "fire", "blink")[effect]),
            row(who, "inverted", ("no", "yes")[inverted]),
            row(who, "level", brightness / 15),
        }
    if cv == 164 and value:
        return {row(who, "rate_hz", 1000 / (25 * value), ["candle", "fire"]) for who in "ABCD"}
    if cv == 165 and value:
        return {row(w, name, value / 10, ["blink"]) for w in "ABCD" for name in ("on_s", "off_s")}
    return None


def tarn_end(cv, value):
    output, place = divmod(cv - 257, 8)
    who = str(output + 1)
    if place == 0 and value <= 4:
        modes = ("dark", "steady", "random flicker", "exhaust", "flash")
        return {row(who, "effect", modes[value])}
    if place == 1:
        return {row(who, "level", value / 255)}
    if place == 2:
        return {row(who, "level", value / 255, key="F6")}
    if place in (3, 4):
        return {row(who, ("rise_s", "fall_s")[place - 3], value / 100)}
    if place == 5 and value <= 31:
        return {row(who, "rate_hz", value / 2 if value else ("unknown", 0, None))}
    if place == 6 and value <= 4:
        name = "travel" if value <= 2 else "motion"
        words = ("", "forward", "reverse", "standing", "moving")
        return {row(who, name, words[value])} if value else set()
    if place == 7 and (value <= 28 or value == 255):
        return {row(who, "key", f"F{value}" if value <= 28 else "never")}
    return None


def rook_lane(cv, value):
    effects = {0: ("steady", "steady"), 1: ("flicker", "flicker"), 2: ("steady", "flicker")}
    if value not in effects:
        return None
    return {
        row(who, "effect", effect)
        for who, effect in zip(("green", "violet"), effects[value], strict=True)
    }


def sallow_mill(cv, value):
    if 121 <= cv <= 124:
        name, said = {
            121: ("effect", "flicker"),
            122: ("effect", "pulse"),
            123: ("travel", "reverse"),  # dark in forward
            124: ("travel", "forward"),  # dark in reverse
        }[cv]
        counted = {str(number + 1) for number in range(6) if value & 2**number}
        return {row(who, name, said) for who in counted} if value < 64 else None
    if 126 <= cv <= 128:
        first = 2 * (cv - 126) + 1
        second_level, first_level = divmod(value, 16)
        return {
            row(str(first), "level", first_level / 15),
            row(str(first + 1), "level", second_level / 15),
        }
    if cv == 130 and value < 32:
        depth, speed = divmod(value, 8)
        return {
            one
            for who in "123456"
            for one in (
                row(who, "rate_hz", 10 ** (speed / 7), ["flicker"]),
                row(who, "lowest", depth / 4, ["flicker"]),
            )
        }
    return None


def heron_weir(cv, value):
    if 140 <= cv <= 143:
        hundreds, tens, ones = (int(figure) for figure in f"{value:03}")
        effects = {0: "steady", 2: "fire", 3: "lantern", 6: "strobe"}
        if tens not in effects:
            return None
        who = str(cv - 139)
        return {
            row(who, "level", ones / 9),
            row(who, "effect", effects[tens]),
            row(who, "travel", BOTH[hundreds]),
        }
    if cv == 145 and value <= 99:
        below = 0.5 + 4.5 * value / 50
        above = 5 + 10 * (value - 50) / 49
        rate = below if value <= 50 else above
        return {row(who, "rate_hz", rate, ["fire", "lantern"]) for who in "1234"}
    return None


READ = {
    "marsh_hollow": marsh_hollow,
    "penny_cross": penny_cross,
    "tarn_end": tarn_end,
    "rook_lane": rook_lane,
    "sallow_mill": sallow_mill,
    "heron_weir": heron_weir,
}

DELIVERED = {
    "marsh_hollow": {
        **{114: 6, 115: 11, 116: 1, 117: 1, 118: 1},
        **{125: 63, 126: 63, 141: 40, 142: 5, 143: 12, 144: 4},
    },
    "penny_cross": {
        **{150: 1, 151: 2, 152: 4, 153: 4, 154: 8, 155: 8, 156: 0, 157: 0},
        **{160: 240, 161: 240, 162: 240, 163: 240, 164: 8, 165: 5},
    },
    "tarn_end": {
        257 + 8 * (output - 1) + place: value
        for output in range(1, 9)
        for place, value in enumerate(
            (1, 255, 255, 0, 0, 8, output if output < 3 else 0, 0 if output < 3 else output - 2)
        )
    },
    "rook_lane": {120: 1},
    "sallow_mill": {121: 0, 122: 0, 123: 2, 124: 1, 126: 255, 127: 255, 128: 255, 130: 3},
    "heron_weir": {140: 9, 141: 9, 142: 9, 143: 9, 145: 50},
}
"""CVs of each leaflet, with their values as delivered."""

PAGE = {"tarn_end": (16, 4)}
"""What CV 31 and CV 32 must hold before."""

FIXED_KEYS = {
    "marsh_hollow": {"white": "F0", "yellow": "F0", "green": "F1", "violet": "F2", "brown": "F3"},
    "rook_lane": {"green": "F1", "violet": "F1"},
    "heron_weir": {"1": "F0", "2": "F0", "3": "F1", "4": "F2"},
}
"""Keys that no CV moves."""

MILLIAMPS = {
    "marsh_hollow": (5 * [100], 250),
    "penny_cross": (4 * [80], None),
    "tarn_end": (8 * [200], 500),
    "rook_lane": (2 * [50], None),
    "sallow_mill": (6 * [None], None),
    "heron_weir": (4 * [None], None),
}
"""Currents of each output and of all together."""

PRINTED = {
    ("penny_cross", "candle"): {"lowest": 0.5, "highest": 1, "style": "smooth"},
    ("penny_cross", "fire"): {"lowest": 0.2, "highest": 1, "style": "hold"},
    ("tarn_end", "exhaust"): {"beats_per_turn": 4},
    ("rook_lane", "flicker"): {"rate_hz": 5},
    ("sallow_mill", "pulse"): {"period_s": 1},
}
"""What is printed of effects and no CV sets."""

OPEN = {
    ("marsh_hollow", "random flicker"): {"lowest", "style"},
    ("tarn_end", "random flicker"): {"lowest", "style"},
    ("rook_lane", "flicker"): {"lowest", "style"},
    ("heron_weir", "fire"): {"lowest", "style"},
    ("heron_weir", "lantern"): {"lowest", "style"},
}
"""What a leaflet leaves open of an effect that flickers."""
