"""What of an edit on the desk is its own work and what is the browser's, by processor time in a trace of Chromium."""

import collections
import json

CATEGORIES = ["devtools.timeline", "v8.execute", "blink.user_timing"]
# Events of a trace: a script runs, or what it left is tidied; the browser works out styles and places.
SCRIPTS = {"FunctionCall", "RunMicrotasks", "EvaluateScript", "MinorGC", "MajorGC"}
PLACES = {"Layout", "UpdateLayoutTree"}


def edits(trace):
    """For each key from which a page came, between the marks `key` and `laid` (tests/outside/shared/desk_watch.js):
    the milliseconds of the processor that the page's thread took. `scripts` are the page's own, `places` the styles
    and places that they had worked out; `text` is what the browser did until the page was told of the key, `frames`
    what it did by itself after."""
    events = json.loads(trace)["traceEvents"]
    marks = [own for own in events if "blink.user_timing" in own.get("cat", "")]
    thread = collections.Counter((own["pid"], own["tid"]) for own in marks).most_common(1)[0][0]
    spans, last = [], {}
    for mark in sorted(marks, key=lambda own: own["ts"]):
        if mark["name"] == "key":
            last = {}
        last[mark["name"]] = mark["ts"]
        if mark["name"] == "laid" and "key" in last:
            spans.append((last["key"], last["typed"], mark["ts"]))
            last = {}
    whole = [own for own in events if own["ph"] == "X" and (own["pid"], own["tid"]) == thread]
    whole.sort(key=lambda own: (own["ts"], -own["dur"]))
    return [edit(whole, *span) for span in spans]


def edit(events, key, typed, laid):
    took = collections.Counter(scripts=0.0, places=0.0, text=0.0, frames=0.0)
    around = []
    for event in events:
        # What began before the key is its dispatch, by the browser.
        if event["ts"] + event["dur"] < key or event["ts"] > laid:
            continue
        while around and event["ts"] >= around[-1][0]:
            around.pop()
        browser = "text" if event["ts"] < typed else "frames"
        outer = around[-1][1] if around else browser
        kind = outer
        if event["name"] in SCRIPTS:
            kind = "scripts"
        elif event["name"] in PLACES and outer == "scripts":
            kind = "places"
        milliseconds = event.get("tdur", event["dur"]) / 1000
        took[kind] += milliseconds
        if around:
            took[outer] -= milliseconds
        around.append((event["ts"] + event["dur"], kind))
    return took
