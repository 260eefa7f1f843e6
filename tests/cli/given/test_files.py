"""No command writes over what it reads, over another of its files, or over what is there."""

from __future__ import annotations

import os
from dataclasses import dataclass
from enum import Enum
from itertools import combinations
from pathlib import Path
from typing import get_args, get_type_hints

import pytest
import typer

from fxstudio.cli.commands import BY_NAME, function_of
from fxstudio.cli.given.files import same_file
from fxstudio.decoder.leaflet.files import shipped

FIRE = """title = "Bed"
[lamps.bed]
output = 3
key = "F1"
colour = { temperature_k = 1900 }
pattern = { kind = "steady" }
"""
DRIVE = """length_s = 2.0
steps = [{ at_s = 0.0, travel = "forward", speed_kmh = 10, keys = ["F1"] }]
"""
SAMPLES = {
    "fire.toml": FIRE,
    "drive.toml": DRIVE,
    "decoder.toml": shipped()["withybank_glim"].read_text("utf-8"),
    "held.csv": "cv,value\n143,248\n",
    "now.csv": "cv,value\n143,152\n",
}
READ = {
    "effect": "fire.toml",
    "effects": "fire.toml",
    "paths": "fire.toml",
    "like": "fire.toml",
    "drive": "drive.toml",
    "decoder": "decoder.toml",
    "values": "held.csv",
    "pack": "held.csv",
    "present": "held.csv",
    "back_to": "held.csv",
}
"""Name of a parameter that is read, in any command, and a file that it can read."""

FOLDER = "into"
INTO_A_NEW_FOLDER = (("unpack",),)
"""Commands that write nothing but a folder that is not there yet."""
ENDINGS = (".toml", ".csv", ".txt", ".gif", ".png", ".html", ".zip")
APART = ("names the same file", "comes before a plan")


@dataclass(frozen=True)
class Parameter:
    """An argument, or an option by its long name; whether its value is a path or a name."""

    name: str
    option: str
    kinds: tuple

    @property
    def is_read(self) -> bool:
        return self.name in READ and not any(issubclass(kind, Enum) for kind in self.kinds)

    @property
    def is_written(self) -> bool:
        return Path in self.kinds and not self.is_read and self.name != FOLDER


def parameters(function) -> list[Parameter]:
    """What a command takes, from its annotations."""
    found = []
    for name, hint in get_type_hints(function, include_extras=True).items():
        if name != "return":
            kind, info = get_args(hint)
            words = (info.default, *(info.param_decls or ()))  # the first one is kept as default
            words = [word for word in words if str(word).startswith("--")]
            option = words[0] if words else f"--{name.replace('_', '-')}"
            is_argument = isinstance(info, typer.models.ArgumentInfo)
            kinds = tuple(k for k in (kind, *get_args(kind)) if isinstance(k, type))
            found.append(Parameter(name, "" if is_argument else option, kinds))
    return found


def leaves():
    """What is typed for each command, and what it takes."""
    for row in BY_NAME.values():
        found = function_of(row)
        if isinstance(found, typer.Typer):
            for info in found.registered_commands:
                name = info.name or info.callback.__name__
                yield (row.name, name), parameters(info.callback)
        else:
            yield (row.name,), parameters(found)


COMMANDS = dict(leaves())
OUTPUTS = {names: [p for p in taken if p.is_written] for names, taken in COMMANDS.items()}
WRITING = [names for names, outputs in OUTPUTS.items() if outputs]
INTO = [names for names, taken in COMMANDS.items() if FOLDER in {p.name for p in taken}]
CASES = [
    pytest.param(names, output, read, id=f"{' '.join(names)} {output.option} {read.name}")
    for names in WRITING
    for output in OUTPUTS[names]
    for read in COMMANDS[names]
    if read.is_read
]


def typed(parameter, value):
    return [parameter.option, value] if parameter.option else [value]


def label(part):
    return part.option if isinstance(part, Parameter) else " ".join(part)


def call(names, read=None):
    """A call of a command that can be used, without its outputs; `read` is among its inputs."""
    words = list(names)
    back = read is not None and read.name == "back_to"
    for each in (each for each in COMMANDS[names] if each.is_read):
        if back and each.name in ("effect", "present"):
            words += ["--present", "now.csv"] if each.name == "present" else []
        elif not each.option or each.name == "decoder" or each is read:
            words += typed(each, READ[each.name])
    return words


@pytest.fixture(autouse=True)
def samples(tmp_path):
    for name, text in SAMPLES.items():
        (tmp_path / name).write_text(text)


def test_the_walk_finds_the_commands_that_write():
    assert {"film", "read", "plan", "sheet", "calm", "check", "figures"} <= {n[0] for n in WRITING}
    assert len(CASES) > 25


@pytest.mark.parametrize("names", sorted({*WRITING, *INTO}), ids=" ".join)
def test_every_command_that_writes_has_the_same_option_to_replace(names):
    replaces = "--replace" in {taken.option for taken in COMMANDS[names]}
    assert replaces or names in INTO_A_NEW_FOLDER


@pytest.mark.parametrize(("names", "output", "read"), CASES)
@pytest.mark.parametrize("link", [os.link, os.symlink])
def test_no_output_is_a_file_that_is_read(refused, run, tmp_path, names, output, read, link):
    seen = []
    for ending in ENDINGS:
        alias = tmp_path / f"alias{ending}"
        link(tmp_path / READ[read.name], alias)
        code, _, err = run(*call(names, read), *typed(output, alias.name), "--replace")
        seen.append(err)
        assert code == 2
        assert {name: (tmp_path / name).read_text() for name in SAMPLES} == SAMPLES
        assert same_file(alias, tmp_path / READ[read.name])
        alias.unlink()
        if any(words in err for words in APART):
            break
    assert {path.name for path in tmp_path.iterdir()} == set(SAMPLES)
    assert any(words in seen[-1] for words in APART), seen


@pytest.mark.parametrize(
    ("names", "one", "other"),
    [(names, *pair) for names in WRITING for pair in combinations(OUTPUTS[names], 2)],
    ids=label,
)
def test_no_two_outputs_are_one_file(run, tmp_path, names, one, other):
    seen = []
    for ending in ENDINGS:
        code, _, err = run(
            *call(names), *typed(one, f"out{ending}"), *typed(other, f"./OUT{ending}")
        )
        seen.append(err)
        assert code == 2
        if any(words in err for words in APART):
            break
    assert {path.name for path in tmp_path.iterdir()} == set(SAMPLES)
    kinds = ("must end in",)
    assert any(words in err for words in APART for err in seen) or all(
        any(kind in err for kind in kinds) for err in seen
    )


@pytest.mark.parametrize(
    ("names", "output"),
    [(names, output) for names in WRITING for output in OUTPUTS[names]],
    ids=label,
)
def test_what_is_there_is_not_replaced(run, tmp_path, names, output):
    seen = []
    for ending in ENDINGS:
        path = tmp_path / f"mine{ending}"
        path.write_text("mine")
        code, _, err = run(*call(names), *typed(output, path.name))
        seen.append(err)
        assert code == 2
        assert path.read_text() == "mine"
    asked = [err for err in seen if "is there already" in err]
    assert asked
    assert all(
        output.option in err and "--replace" in err and err.count("error") == 1 for err in asked
    )


@pytest.mark.parametrize(
    ("words", "there"),
    [
        (["film", "fire.toml"], ["fire.gif"]),
        (["film", "fire.toml", "-d", "decoder.toml"], ["fire.values.txt"]),
        (["film", "fire.toml", "--into", "out"], ["out/fire.gif"]),
        (["sheet", "fire.toml", "-d", "decoder.toml"], ["fire.sheet.html"]),
        (["describe", "new"], ["my_decoder.toml"]),
        (["schema"], ["schemas/effect.schema.json", "schemas/decoder.schema.json"]),
        (["demo"], ["fxstudio-demo/banked_fire.gif"]),
    ],
)
def test_names_that_a_command_makes_itself_are_not_replaced(refused, tmp_path, words, there):
    for name in there:
        (tmp_path / name).parent.mkdir(exist_ok=True)
        (tmp_path / name).write_text("mine")
    refused(*words, problem=f"{', '.join(there)}: {'are' if len(there) > 1 else 'is'} there")


@pytest.mark.parametrize("made", ["fire.gif", "fire.values.txt"])
@pytest.mark.parametrize("read", ["fire.toml", "decoder.toml", "drive.toml"])
def test_a_folder_of_films_holds_nothing_that_is_read(refused, tmp_path, made, read):
    (tmp_path / "out").mkdir()
    os.link(tmp_path / read, tmp_path / "out" / made)
    words = ("film", "fire.toml", "-d", "decoder.toml", "--drive", "drive.toml", "--into", "out")
    refused(*words, "--replace", problem="names the same file")


def test_with_replace_a_file_is_replaced_whole(run, tmp_path):
    (tmp_path / "plan.txt").write_text("mine" * 9999)
    words = ("plan", "fire.toml", "-d", "decoder.toml", "-o", "plan.txt")
    assert run(*words, "--replace")[0] == 0
    assert "mine" not in (tmp_path / "plan.txt").read_text()
    assert run("schema")[0] == 0
    assert run("schema")[0] == 2
    assert run("schema", "--replace")[0] == 0


@pytest.mark.parametrize(
    ("one", "other", "same"),
    [
        ("a", "b", False),
        ("a", "./x/../a", True),
        ("a", "A", True),  # neither is there: on many disks they are one
        ("fire.toml", "FIRE.toml", os.path.exists(__file__.upper())),
        ("gone", "to_gone", True),  # a link to a file that is still to come
        ("caf\u00e9", "cafe\u0301", True),
    ],
)
def test_what_is_the_same_file(monkeypatch, tmp_path, one, other, same):
    monkeypatch.chdir(tmp_path)
    (tmp_path / "x").mkdir()
    os.symlink("gone", "to_gone")
    assert same_file(Path(one), Path(other)) == same
