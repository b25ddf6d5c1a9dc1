"""What the outside checks have in common: the program they check, and Python modules to check it with."""

import fcntl
import json
import os
import pathlib
import re
import subprocess
import sys
import tempfile

ROOT = pathlib.Path(__file__).resolve().parents[3]
VENV = ROOT / "tests" / "outside" / ".venv"
REQUIREMENTS = VENV.with_name("requirements.txt")


def program():
    """The program: FLAMACUE, or else target/debug/flamacue (CARGO_TARGET_DIR is heeded)."""
    target = pathlib.Path(os.environ.get("CARGO_TARGET_DIR", ROOT / "target"))
    path = os.environ.get("FLAMACUE", target / "debug" / "flamacue")
    if not pathlib.Path(path).exists():
        sys.exit(f"{path} is not built; run `cargo build`")
    return path


def installed(*modules):
    """The Python that has these modules of PyPI, all of `requirements.txt` where one is missing. One check at a time,
    where several are begun at once."""
    python = VENV / "bin" / "python"
    with VENV.with_suffix(".lock").open("w") as lock:
        fcntl.flock(lock, fcntl.LOCK_EX)
        if not python.exists():
            subprocess.run([sys.executable, "-m", "venv", VENV], check=True)
        if subprocess.run([python, "-c", f"import {', '.join(modules)}"], capture_output=True).returncode:
            subprocess.run([python, "-m", "pip", "install", "--quiet", "-r", REQUIREMENTS], check=True)
    return python


def in_own_environment(*modules):
    """Runs the script again where modules of PyPI are in reach."""
    if pathlib.Path(sys.prefix).resolve() != VENV:
        python = installed(*modules)
        os.execv(python, [python, sys.argv[0], *sys.argv[1:]])


def drawing(text):
    """What a text is drawn as, from the program's JSON."""
    with tempfile.TemporaryDirectory() as folder:
        source = pathlib.Path(folder) / "bars.flam"
        out = pathlib.Path(folder) / "bars.json"
        source.write_text(text)
        result = subprocess.run(
            [program(), "build", source, "-o", out], capture_output=True, text=True
        )
        if result.returncode:
            sys.exit(f"the program does not build\n{text}\n{result.stderr}")
        return json.loads(out.read_text())


def visible(message):
    """A message as a report shows it, as far as it can be compared."""
    plain = "".join(c if c.isprintable() else "?" for c in message)
    return re.sub(r"[^\x20-\x7e]", "?", plain)[:150]


def checked(path):
    """What `flamacue check` says of a file: kind, line, column in characters, first words; and how many more."""
    ended = subprocess.run([program(), "check", path], capture_output=True)
    assert ended.returncode in (0, 1), ended.stderr.decode()
    report = ended.stderr.decode()
    found = re.findall(
        r"^(error|warning): (.*(?:\n(?! *┌─).*)*)\n *┌─ (.*):(\d+):(\d+)$", report, flags=re.MULTILINE
    )
    more = re.search(r"^\.\.\. and (\d+) more$", report, flags=re.MULTILINE)
    told = [(kind, file, int(line), int(column), visible(message)) for kind, message, file, line, column in found]
    return sorted(told), bool(more)


def reported(text, at):
    """The line and column that a report gives a character: lines end at a line feed alone, and the byte order mark
    that a file may begin with is none of its characters."""
    before = text[:at].removeprefix("\ufeff").split("\n")
    return len(before), len(before[-1]) + 1


def server_tokens(files):
    """The tokens the program tells of files: line, start, length, type and modifier."""
    child = subprocess.Popen([program(), "lsp"], stdin=subprocess.PIPE, stdout=subprocess.PIPE)

    def say(message):
        body = json.dumps({"jsonrpc": "2.0", **message}).encode()
        child.stdin.write(b"Content-Length: %d\r\n\r\n" % len(body) + body)
        child.stdin.flush()

    def hear(wanted):
        while True:
            length = 0
            while (line := child.stdout.readline().strip()):
                length = int(line.split(b":")[1]) if line.lower().startswith(b"content-length") else length
            message = json.loads(child.stdout.read(length))
            if message.get("id") == wanted:
                return message["result"]

    say({"id": 1, "method": "initialize", "params": {"capabilities": {}}})
    legend = hear(1)["capabilities"]["semanticTokensProvider"]["legend"]
    say({"method": "initialized", "params": {}})
    told = {}
    for number, file in enumerate(files, 2):
        document = {"uri": file.as_uri(), "languageId": "flam", "version": 1, "text": file.read_text()}
        say({"method": "textDocument/didOpen", "params": {"textDocument": document}})
        params = {"textDocument": {"uri": file.as_uri()}}
        say({"id": number, "method": "textDocument/semanticTokens/full", "params": params})
        data = hear(number)["data"]
        say({"method": "textDocument/didClose", "params": params})
        line = column = 0
        tokens = []
        for at in range(0, len(data), 5):
            down, right, length, kind, bits = data[at : at + 5]
            line, column = line + down, (right if down else column + right)
            modifier = [name for bit, name in enumerate(legend["tokenModifiers"]) if bits >> bit & 1]
            tokens.append((line, column, length, legend["tokenTypes"][kind], "".join(modifier)))
        told[file] = tokens
    say({"id": 0, "method": "shutdown"})
    hear(0)
    say({"method": "exit"})
    child.stdin.close()
    assert child.wait() == 0
    return told
