"""Four more invented leaflets in plain Python: what a value of a CV says, by the leaflet alone.

As in `decoder.leaflet.reference`: a function takes a CV, for a family that of each output, and its
value, and gives rows, or None for a value that the leaflet forbids.
"""

from __future__ import annotations

from decoder.leaflet.reference import row


def quarry_lock(cv, value):
    who = "1234"
    if 49 <= cv <= 52:
        effect, inverted, level = value % 8, value // 8 % 2, value // 16 % 8
        if effect > 3:
            return None
        return {
            row(who[cv - 49], "effect", ("dark", "steady", "glow", "spark")[effect]),
            row(who[cv - 49], "inverted", ("no", "yes")[inverted]),
            row(who[cv - 49], "level", level / 7),
        }
    if cv == 53:
        return {row(each, "rate_hz", ("unknown", value, True), ["glow"]) for each in who}
    if cv == 54 and 20 <= value <= 120:
        return {row(each, "period_s", 60 / value, ["spark"]) for each in who}
    return None


def vane_hill(cv, value):
    names = ("red", "amber", "blue")
    if 112 <= cv <= 114:
        who = names[cv - 112]
        if value == 0:
            return {row(who, "effect", "dark")}
        if value <= 99:
            level = 0.01 + 0.99 * (value - 1) / 98
            return {row(who, "effect", "steady"), row(who, "level", level)}
        if value <= 163:
            rate = 0.5 * 16 ** ((value - 100) / 63)
            return {row(who, "effect", "ember"), row(who, "rate_hz", rate)}
        if value <= 227:
            said = {row(who, "effect", "wander"), row(who, "level", 0.5)}
            return said | {row(who, "rate_hz", ("unknown", value, None))}
        return None
    if 115 <= cv <= 117 and value < 16:
        keys = [f"F{at}" for at in range(4) if value & 1 << at]
        return {row(names[cv - 115], "key", key) for key in keys}
    if cv == 118 and value <= 4:
        name = ("", "motion", "motion", "travel", "travel")[value]
        words = ("", "standing", "moving", "forward", "reverse")
        return {row(who, name, words[value]) for who in names} if value else set()
    return None


def osier_bank(cv, value):
    if 130 <= cv <= 133:
        rule = f"rule {cv - 129}"
        direction, key = divmod(value, 64)
        if key > 29 or direction > 1:
            return None
        said = {row(rule, "key", f"F{key - 1}" if key else "never")}
        return said | {row(rule, "travel", ("both", "forward")[direction])}
    if 134 <= cv <= 137 and value < 8:
        rule = f"rule {cv - 133}"
        return {
            row(rule, "lights", name)
            for name, bit in zip("ABC", (1, 2, 4), strict=True)
            if value & bit
        }
    if cv in (140, 141) and value < 30:
        effect, speed = divmod(value, 10)
        who = "AB"[cv - 140]
        return {
            row(who, "effect", ("plain", "ember", "signal")[effect]),
            row(who, "rate_hz", ("unknown", speed, True), ["ember"]),
        }
    if cv == 142 and value <= 100:
        return {row("C", "level", value / 100)}
    return None


def elder_moor(cv, value, who="lamp 1"):
    if cv == 300:
        level, effect = divmod(value, 12)
        if level > 2 or effect > 3:
            return None
        return {
            row(who, "effect", ("dark", "steady", "fire", "beacon")[effect]),
            row(who, "level", (0.2, 0.5, 1.0)[level]),
        }
    if cv == 301:
        return {row(who, "rate_hz", 1000 / (20 * (value + 1)), ["fire"])}
    if cv == 302 and value <= 5:
        return {row(who, "period_s", 0.25 * 2**value, ["beacon"])}
    if cv == 303 and 1 <= value <= 20:
        return {row(who, "on_s", value / 10, ["beacon"])}
    return None


READ = {
    "quarry_lock": quarry_lock,
    "vane_hill": vane_hill,
    "osier_bank": osier_bank,
    "elder_moor": elder_moor,
}
