"""Writes fixtures/logs/<situation>/: a log in one manner of printing, and expected.json with what it holds.

The expected figures come from this program's own frame times, added up exactly (decimal.Decimal) as printed, never
from the reader under test. Run from the repository's root: python3 test/reference/log-fixtures.py
"""

import gzip
import io
import json
import math
import random
import shutil
from datetime import datetime, timedelta, timezone
from decimal import Decimal, getcontext
from pathlib import Path

getcontext().prec = 50
ROOT = Path("fixtures/logs")
START = datetime(2026, 3, 14, 20, 15, 0, tzinfo=timezone.utc)


def frame_times(n, seed, usual=16.7, decimals=4):
    """Frame times in ms as Decimals: jitter around the usual one, and a stutter now and then."""
    source = random.Random(seed)
    times = []
    for _ in range(n):
        ms = usual * math.exp(source.gauss(0, 0.08))
        if source.random() < 0.02:
            ms *= 2.5
        times.append(Decimal(f"{ms:.{decimals}f}"))
    return times


def text(value, decimals=None):
    return f"{value:.{decimals}f}" if decimals is not None else format(value, "f")


def running(times):
    """End of each frame, from 0 at the end of the first, in ms."""
    total = Decimal(0)
    ends = []
    for i, ms in enumerate(times):
        if i > 0:
            total += ms
        ends.append(total)
    return ends


def figures(times_ms, **more):
    """times_ms: as printed, in ms, Decimals."""
    seconds = sum(times_ms, Decimal(0)) / 1000
    result = {
        "frames": len(times_ms),
        "seconds": float(seconds),
        "averageFps": float(len(times_ms) / seconds),
        "read": len(times_ms),
        "notUsed": {},
        "flags": [],
    }
    result.update(more)
    result["read"] = more.get("read", result["frames"] + sum(result["notUsed"].values()))
    return result


def average(times_ms):
    return float(len(times_ms) / (sum(times_ms, Decimal(0)) / 1000))


def write(name, content, expected, *, file="pass-1.csv", settings=None, sensors=None, about):
    folder = ROOT / name
    folder.mkdir(parents=True)
    data = content if isinstance(content, bytes) else content.encode("utf-8")
    (folder / file).write_bytes(data)
    if sensors is not None:
        (folder / "pass-1.sensors.csv").write_bytes(sensors.encode("utf-8"))
    whole = {"about": about, "log": file, "settings": settings or {}, **expected}
    (folder / "expected.json").write_text(json.dumps(whole, indent=2, ensure_ascii=False) + "\n", "utf-8")


def table(header, rows, delimiter=",", end="\n", last_end=True):
    lines = ([delimiter.join(header)] if header else []) + [delimiter.join(row) for row in rows]
    return end.join(lines) + (end if last_end else "")


def ordinary(times, delimiter=",", comma=False, header=("frame", "elapsed_s", "frame_time_ms")):
    """Counter, clock in s, frame time in ms."""
    rows = []
    for i, (ms, end) in enumerate(zip(times, running(times))):
        row = [str(i + 1), text(end / 1000, 7), text(ms)]
        rows.append([cell.replace(".", ",") for cell in row] if comma else row)
    return list(header) if header else None, rows


def steps(readings):
    return [b - a for a, b in zip(readings, readings[1:])]


def main():
    shutil.rmtree(ROOT, ignore_errors=True)

    # ---- text and dialect ----
    t = frame_times(120, 1)
    write("ordinary", table(*ordinary(t)), figures(t), about="counter, clock in s, frame time in ms")
    t = frame_times(120, 2)
    h, r = ordinary(t, comma=True)
    write("decimal-comma", table(h, r, ";"), figures(t), about="semicolons between cells, decimal commas")
    h, r = ordinary(t, comma=True)
    write("decimal-comma-quoted", table(h, [[f'"{c}"' for c in row] for row in r]), figures(t),
          about="commas between cells and decimal commas inside quotes")
    write("decimal-comma-one-column", table(["Frame time (ms)"], [[text(x).replace(".", ",")] for x in t]), figures(t),
          about="one column, decimal commas: cut at the comma it would be two columns of whole numbers")
    write("decimal-comma-no-header", "".join(f"{text(x)}\n".replace(".", ",") for x in t), figures(t),
          about="one column of decimal commas and nothing else")
    t = frame_times(120, 3)
    write("tab", table(*ordinary(t), "\t"), figures(t), about="tabs between cells")
    h, r = ordinary(t)
    write("pipe", table(h, r, "|"), figures(t), about="bars between cells")
    lines = ["| " + " | ".join(row) + " |" for row in [h, ["---"] * 3, *r]]
    write("pipe-drawn", "\n".join(lines) + "\n", figures(t), about="a table drawn with bars and a ruler under the header")
    t = frame_times(120, 4)
    write("utf-16-le", b"\xff\xfe" + table(*ordinary(t), "\t").encode("utf-16-le"), figures(t), about="UTF-16 LE")
    write("utf-16-be", b"\xfe\xff" + table(*ordinary(t)).encode("utf-16-be"), figures(t), about="UTF-16 BE")
    write("utf-16-no-mark", table(*ordinary(t)).encode("utf-16-le"), figures(t), about="UTF-16 LE without a mark")
    write("byte-order-mark", b"\xef\xbb\xbf" + table(*ordinary(t)).encode(), figures(t), about="UTF-8 with a mark")
    write("latin-1", ("Bildzeit [ms];Gerät\n" + "".join(f"{text(x)};Kühler\n" for x in t)).encode("latin-1"), figures(t),
          about="not UTF-8")
    t = frame_times(120, 5)
    write("crlf", table(*ordinary(t), end="\r\n"), figures(t), about="CRLF")
    write("cr", table(*ordinary(t), end="\r"), figures(t), about="CR alone")
    write("no-last-line-end", table(*ordinary(t), last_end=False), figures(t), about="the last row is whole")
    t = frame_times(120, 6)
    write("preamble", "Capture of Tide Runner\nResolution: 1920x1080\nStarted: 2026-03-14, 20:15\n\n" + table(*ordinary(t)),
          figures(t), about="lines of free text above the header")
    write("comments", "# made by hand\n# 3 columns, 120 rows\n" + table(*ordinary(t)).replace("\n60,", "\n# a note\n60,"),
          figures(t), about="comment lines above and inside the table")
    write("header-in-comment", "# made by hand\n# frame, elapsed_s, frame_time_ms\n" + table(None, ordinary(t)[1]), figures(t),
          about="the header is a comment")
    write("units-row", "Frame,Elapsed,Frame time\n[-],[s],[ms]\n" + table(None, ordinary(t)[1]), figures(t),
          about="a second header line with units")
    write("footer", table(*ordinary(t)) + "\nframes,120\naverage,59.1\n", figures(t, notUsed={"after the table": 2}),
          about="a summary under the table")
    t = frame_times(120, 7)
    write("no-header", table(None, ordinary(t)[1]), figures(t), about="numbers alone: the clock decides")
    write("no-header-one-column", "".join(f"{text(x)}\n" for x in t), figures(t), about="frame times alone, in ms")
    write("no-header-microseconds", "".join(f"{x * 1000:.0f}\n" for x in t),
          figures([Decimal(f"{x * 1000:.0f}") / 1000 for x in t]), about="frame times alone, in whole us")
    write("trailing-delimiter", "frame,elapsed_s,frame_time_ms,\n" + "".join(",".join(row) + ",\n" for row in ordinary(t)[1]),
          figures(t), about="a comma at the end of every line")
    write("padded", "\n".join(",".join(f"{c:>14}" for c in row) for row in [ordinary(t)[0], *ordinary(t)[1]]) + "\n",
          figures(t), about="cells padded with blanks")
    write("gzip", gz(table(*ordinary(t)).encode()), figures(t), file="pass-1.csv.gz", about="compressed")
    long = frame_times(4000, 77)
    packed = gz(table(*ordinary(long)).encode())
    write("gzip-cut", packed[: len(packed) // 2], {"fewerFramesThan": 4000, "flags": ["cut-short"]}, file="pass-1.csv.gz",
          about="a compressed file that stops half way")

    t = frame_times(120, 32)
    _, r = ordinary(t)
    write("blanks", "".join(" ".join(row) + "\n" for row in [["frame", "elapsed_s", "frame_time_ms"], *r]), figures(t), about="one blank between cells")
    wide = ["Frame", "Elapsed Time [s]", "Frame Time [ms]"]
    write("blanks-aligned", "".join("   ".join(f"{c:>16}" for c in row) + "\n" for row in [wide, ["-" * 16] * 3, *r]) + "\naverage  59.1\n",
          figures(t, notUsed={"after the table": 1}), about="a table aligned with blanks, names with blanks inside, a summary under it")
    write("blanks-decimal-comma", "".join("  ".join(row).replace(".", ",") + "\n" for row in r), figures(t), about="blanks between cells, decimal commas, no header")
    write("blanks-comma-and-text", "Bilddauer, ms   scene\n" + "".join(f"{row[2].replace('.', ',')}   harbour\n" for row in r), figures(t), about="decimal commas and words parted by blanks are not cut at the commas")
    write("tab-under-text", "Third try, windows closed\n" * 4 + "#\tframe_time_us\ttemp\tfan\tscene\n" + "".join(f"{row[0]}\t{Decimal(row[2]) * 1000:.1f}\t47\t1412\tharbour\n" for row in r), figures(t),
          about="lines of text above a table by tabs have as many words as it has cells")
    bad_times = {i: "-1" for i in range(9, 120, 10)}
    write("often-negative", table(["frame time (ms)", "cpu frequency"], [[bad_times.get(i, row[2]), "4200"] for i, row in enumerate(r)]),
          figures([ms for i, ms in enumerate(t) if i not in bad_times], notUsed={"frame time zero or negative": 12}, flags=["damaged"]), about="a column with many negative times is still alike to itself")
    dates = [(START + timedelta(microseconds=int(e * 1000))).strftime("%Y-%m-%d %H:%M:%S.%f") for e in running(t)]
    write("blanks-and-dates", "when   frame_ms\n" + "".join(f"{at}   {row[2]}\n" for at, row in zip(dates, r)), figures(t), about="a date and its time are one cell among blanks")
    write("blanks-missing-cell", "elapsed_s   frame_ms   cpu_w\n" + "".join(f"{row[1]}   {row[2]}   {'' if i == 40 else 45 + i % 3}\n" for i, row in enumerate(r)),
          figures([ms for i, ms in enumerate(t) if i != 40], notUsed={"too few cells": 1}, flags=["damaged", "time-missing"]),
          about="a blank cell of an aligned table cannot be seen: its row is not used")
    write("text-lines", "".join(f"{row[1]} INFO frame {row[0]} took {row[2]} ms\n" for row in r), {"problem": "log-no-table"}, about="lines of text with numbers in them are no table")

    # ---- clocks alone ----
    t = frame_times(150, 8)
    ends = running(t)
    for unit, scale, decimals in (("s", Decimal("0.001"), 6), ("ms", Decimal(1), 3), ("us", Decimal(1000), 0), ("ns", Decimal(1000000), 0)):
        for kind, base in (("elapsed", Decimal(0)), ("epoch", Decimal(int(START.timestamp() * 1000)))):
            printed = [Decimal(text((base + e) * scale, decimals)) for e in ends]
            name = f"timestamp {unit}" if kind == "epoch" else f"elapsed ({unit})"
            write(f"clock-{kind}-{unit}", table([name], [[text(p)] for p in printed]),
                  figures([d / scale for d in steps(printed)], notUsed={"first reading of the clock": 1}),
                  about=f"nothing but a clock in {unit}, {kind}")
    iso = [(START + timedelta(microseconds=int(e * 1000))) for e in ends]
    micro = [Decimal(int(e * 1000)) for e in ends]
    write("clock-iso", table(["time"], [[x.strftime("%Y-%m-%dT%H:%M:%S.%fZ")] for x in iso]),
          figures([d / 1000 for d in steps(micro)], notUsed={"first reading of the clock": 1},
                  startedAt="2026-03-14T20:15:00.000Z"), about="ISO 8601 date-times alone")
    late = [datetime(2026, 3, 14, 23, 59, 59, tzinfo=timezone.utc) + timedelta(microseconds=int(m)) for m in micro]
    write("clock-time-of-day", table(["Time"], [[x.strftime("%H:%M:%S.%f")] for x in late]),
          figures([d / 1000 for d in steps(micro)], notUsed={"first reading of the clock": 1}),
          about="times of day that pass midnight")
    write("clock-no-header", "".join(f"{e / 1000:.6f}\n" for e in ends),
          figures([d * 1000 for d in steps([Decimal(f"{e / 1000:.6f}") for e in ends])], notUsed={"first reading of the clock": 1}),
          about="a clock in s without a header")
    write("clock-and-date", table(["date", "elapsed_ms", "frame_time_ms"],
          [[x.strftime("%Y-%m-%d %H:%M:%S.%f")[:-3], text(e, 4), text(ms)] for x, e, ms in zip(iso, ends, t)]),
          figures(t), about="a coarse date beside a fine clock")
    starts = [Decimal(0)]
    for ms in t[:-1]:
        starts.append(starts[-1] + ms)
    write("clock-at-start", table(["start_ms", "duration_ms"], [[text(s), text(ms)] for s, ms in zip(starts, t)]), figures(t),
          about="the clock is the start of the frame, not its end")

    # ---- durations alone ----
    t = frame_times(150, 9)
    for unit, scale, decimals in (("s", Decimal("0.001"), 7), ("ms", Decimal(1), 4), ("us", Decimal(1000), 1), ("ns", Decimal(1000000), 0)):
        printed = [Decimal(text(x * scale, decimals)) for x in t]
        write(f"duration-{unit}", table([f"Frame Time [{unit}]"], [[text(p)] for p in printed]), figures([p / scale for p in printed]),
              about=f"nothing but durations in {unit}")
        write(f"duration-{unit}-unsaid", table(["i", "FrameTime"], [[str(i), text(p)] for i, p in enumerate(printed)]),
              figures([p / scale for p in printed]), about=f"durations in {unit}; only the values tell the unit")
    write("duration-exponent", table(["dt (s)"], [[f"{x / 1000:.6e}"] for x in t]),
          figures([Decimal(f"{x / 1000:.6e}") * 1000 for x in t]), about="numbers with exponents")
    write("unit-in-cells", table(["frame", "time"], [[str(i), f"{text(x)} ms"] for i, x in enumerate(t)]), figures(t),
          about="the unit stands behind every number")
    rates = [Decimal(text(1000 / x, 3)) for x in t]
    write("fps-only", table(["FPS"], [[text(x)] for x in rates]), figures([1000 / x for x in rates]),
          about="instantaneous frame rate alone")
    write("fps-beside", table(["fps", "frame_time_ms"], [[text(x), text(ms)] for x, ms in zip(rates, t)]), figures(t),
          about="frame rate and frame time of the same frames")
    average_fps = [Decimal("59.1") for _ in t]
    write("fps-average-beside", table(["avg fps", "ms per frame"], [[text(x), text(ms)] for x, ms in zip(average_fps, t)]), figures(t),
          about="an average beside the frame time")
    thousands = [Decimal(text(x * 1000, 1)) for x in t]
    write("quoted-thousands", table(["frame", "frame time (us)"], [[str(i), f'"{x:,}"'] for i, x in enumerate(thousands)]),
          figures([x / 1000 for x in thousands]), about="thousands parted by commas inside quotes")
    whole = [Decimal(text(x * 1000, 0)) for x in t]
    write("quoted-thousands-whole", table(["frame", "frame time (us)"], [[str(i), f'"{x:,}"'] for i, x in enumerate(whole)]),
          figures([x / 1000 for x in whole]), about="whole thousands: the comma could be a decimal sign by its looks")

    # ---- several columns ----
    t = frame_times(150, 10)
    source = random.Random(10)
    cpu = [Decimal(text(x * Decimal(source.uniform(0.3, 0.7)), 3)) for x in t]
    gpu = [Decimal(text(x * Decimal(source.uniform(0.7, 0.95)), 3)) for x in t]
    rows = [[text(c), text(g), text(ms), text(e / 1000, 6)] for c, g, ms, e in zip(cpu, gpu, t, running(t))]
    write("three-durations", table(["cpu_ms", "gpu_ms", "total_ms", "t"], rows), figures(t),
          about="three likely columns; one agrees with the clock")
    write("three-durations-no-clock", table(["CpuTimeMs", "GpuTimeMs", "FrameTimeMs"], [row[:3] for row in rows]), figures(t),
          about="three likely columns; one is named for the frame")
    write("three-durations-no-header", table(None, rows), figures(t), about="three likely columns without names, and a clock")
    write("two-columns-fit", table(["interval_a_ms", "interval_b_ms"], [row[1:3] for row in rows]),
          {"problem": "log-frame-time-unclear", "candidates": [
              {"column": "interval_a_ms", "unit": "ms", "averageFps": average(gpu)},
              {"column": "interval_b_ms", "unit": "ms", "averageFps": average(t)}]}, about="nothing tells the two apart")
    write("two-columns-settled", table(["interval_a_ms", "interval_b_ms"], [row[1:3] for row in rows]), figures(t),
          settings={"frameTime": {"column": "interval_b_ms", "unit": "ms"}}, about="the session tells them apart")
    write("header-against-clock", table(["elapsed_s", "frame_time_ms"], [[text(e / 1000, 6), text(ms / 1000, 7)] for e, ms in zip(running(t), t)]),
          {"problem": "log-frame-time-unclear", "candidates": [
              {"column": "frame_time_ms", "unit": "ms", "averageFps": average(t) * 1000},
              {"column": "frame_time_ms", "unit": "s", "averageFps": average(t)}]}, about="the name says ms, the clock says s")
    write("header-against-values", table(["frame_time_ms"], [[text(ms / 1000, 7)] for ms in t]),
          {"problem": "log-frame-time-unclear", "candidates": [
              {"column": "frame_time_ms", "unit": "ms", "averageFps": average(t) * 1000},
              {"column": "frame_time_ms", "unit": "s", "averageFps": average(t)}]}, about="the name says ms, no clock, values of seconds")
    waits = [Decimal(text(x * Decimal("0.1"), 3)) for x in t]
    write("parts-and-total", table(["draw ms", "wait ms", "total ms"], [[text(g), text(w), text(g + w)] for g, w in zip(gpu, waits)]),
          figures([g + w for g, w in zip(gpu, waits)]), about="two parts of the frame and what they add up to, no clock")
    other = frame_times(150, 11)
    clock = running(other)
    write("column-against-clock", table(["elapsed_ms", "frame_time_ms"], [[text(e), text(c)] for e, c in zip(clock, cpu)]),
          {"problem": "log-frame-time-unclear", "candidates": [
              {"column": "frame_time_ms", "unit": "ms", "averageFps": average(cpu)},
              {"column": "elapsed_ms", "unit": "ms", "averageFps": average(steps(clock))}]},
          about="the named column does not follow the clock")
    samples = [[text(Decimal(i) / 2, 1), text(Decimal(55 + i % 9))] for i in range(120)]
    write("samples-not-frames", table(["time (s)", "fps"], samples), {"problem": "log-not-per-frame"}, about="two rows a second, not one per frame")

    rising = frame_times(200, 20)
    clock = running(rising)
    write("two-rates", table(["time (s)", "fps", "fps (1 s average)"], [[text(e / 1000, 5), text(1000 / ms, 2), "59.8"] for e, ms in zip(clock, rising)]),
          figures([1000 * d for d in steps([Decimal(text(e / 1000, 5)) for e in clock])], notUsed={"first reading of the clock": 1}),
          about="a rate, its average, and a clock that is finer than both")
    write("start-and-end", table(["start_ms", "end_ms"], [[text(e), text(e + ms)] for e, ms in zip(clock, [*rising[1:], Decimal("16.7")])]),
          figures(steps(clock), notUsed={"first reading of the clock": 1}), about="two clocks that tell the same frames, one row apart")
    write("clock-minutes", table(["Time", "FT"], [[f"{int(e) // 60000:02d}:{float(e) / 1000 % 60:06.3f}", text(ms)] for e, ms in zip(clock, rising)]),
          figures(rising), about="minutes and seconds since the start, beside durations of no stated unit")
    write("clock-with-gaps", table(["elapsed (s)", "frame time (ms)"], [["NaN" if i % 40 == 5 else text(e / 1000, 6), text(ms)] for i, (e, ms) in enumerate(zip(clock, rising))]),
          figures(rising), about="a clock with missing readings")
    coarse = [f"20:15:{int(e / 1000):02d}" for e in clock]
    write("clock-coarse", table(["clock", "frame time ms", "cpu ms"], [[c, text(ms), text(ms * Decimal("0.6"), 3)] for c, ms in zip(coarse, rising)]),
          figures(rising), about="a clock in whole seconds contradicts nothing")
    write("clock-coarse-alone", table(["clock", "scene"], [[c, "harbour"] for c in coarse]), {"problem": "log-clock-too-coarse"}, about="nothing but a clock in whole seconds")
    write("clock-hundredths-alone", table(["clock (s)", "scene"], [[text(e / 1600, 2), "harbour"] for e in clock]), {"problem": "log-clock-too-coarse"},
          about="nothing but a clock whose digits show no step below a frame")
    whole_ms = [Decimal(text(ms, 0)) for ms in rising]
    write("whole-milliseconds", table(["frame time (ms)"], [[text(ms)] for ms in whole_ms]), figures(whole_ms, flags=["coarse-times"]),
          about="frame times in whole milliseconds: a step is 6% of a frame")
    tenths = [Decimal(text(ms * 10, 0)) for ms in rising]
    write("counts-of-a-tenth", table(["frame time [0.1 ms]"], [[text(x)] for x in tenths]), figures([x / 10 for x in tenths]),
          about="one count is a tenth of a millisecond, as the name says")
    counts = [Decimal(text(ms * 10000, 0)) for ms in rising]
    write("counts-of-100-ns", table(["clock (us)", "took_100ns"], [[text(e * 1000, 1), text(x)] for e, x in zip(running([x / 10000 for x in counts]), counts)]),
          figures([x / 10000 for x in counts]), about="one count is 100 ns, as the name says, and so does the clock")
    write("summary-of-same-width", "run,average fps,low fps\n1,60.1,41.2\n2,59.8,40.7\n\n" + table(["elapsed ms", "frame ms", "load"], [[text(e), text(ms), "77"] for e, ms in zip(clock, rising)]),
          figures(rising), about="a summary with as many columns stands above the table")
    pairs = [clock[min(i | 1, len(clock) - 1)] for i in range(len(clock))]
    write("frames-in-pairs", table(["shown (s)"], [[text(e / 1000, 6)] for e in pairs]), {"problem": "log-clock-too-coarse"},
          about="a clock of two frames at a time, whose name does not say that it is one")
    write("samples-unit-unsaid", table(["time", "fps"], [[text(Decimal(i) + Decimal("0.013"), 3), text(Decimal(55 + i % 9))] for i in range(120)]),
          {"problem": "log-not-per-frame"}, about="a row a second, by a clock that states no unit")
    quick = [ms / 20 for ms in rising]
    write("rate-tells-unit", table(["time", "fps"], [[text(e, 4), text(1000 / ms, 1)] for e, ms in zip(running(quick), quick)]),
          figures(steps([Decimal(text(e, 4)) for e in running(quick)]), notUsed={"first reading of the clock": 1}),
          about="a clock of no stated unit, whose steps could be seconds or milliseconds; the rate beside it tells")
    write("ticks-beside-rate", table(["ticks", "fps"], [[text(e * 3578, 0), text(1000 / ms, 3)] for e, ms in zip(clock, rising)]),
          figures([1000 / Decimal(text(1000 / ms, 3)) for ms in rising]), about="a counter of ticks of no known length in step with a rate")
    write("whole-numbers-no-header", "".join(f"{1000 / ms:.0f}\n" for ms in rising),
          {"problem": "log-frame-time-unclear", "candidates": [
              {"column": "#1", "unit": "ms", "averageFps": average([Decimal(f"{1000 / ms:.0f}") for ms in rising])},
              {"column": "#1", "unit": "fps", "averageFps": average([1000 / Decimal(f"{1000 / ms:.0f}") for ms in rising])}]},
          about="numbers around 60: milliseconds or FPS")
    write("fast-no-unit", table(["frametime"], [[text(ms / 50, 4)] for ms in rising]),
          {"problem": "log-frame-time-unclear", "candidates": [
              {"column": "frametime", "unit": "s", "averageFps": average([Decimal(text(ms / 50, 4)) * 1000 for ms in rising])},
              {"column": "frametime", "unit": "ms", "averageFps": average([Decimal(text(ms / 50, 4)) for ms in rising])}]},
          about="0.33: seconds of a slide show or milliseconds of a very fast game")
    write("part-of-frame-alone", table(["gpu_time_ms"], [[text(ms)] for ms in rising]),
          {"problem": "log-frame-time-unclear", "candidates": [{"column": "gpu_time_ms", "unit": "ms", "averageFps": average(rising)}]},
          about="the only column is named for a part of the frame")
    write("average-alone", table(["average fps"], [[text(1000 / ms, 2)] for ms in rising]),
          {"problem": "log-frame-time-unclear", "candidates": [{"column": "average fps", "unit": "fps", "averageFps": average([1000 / Decimal(text(1000 / ms, 2)) for ms in rising])}]},
          about="the only column is named for an average")
    write("same-name-twice", table(["interval ms", "interval ms"], [[text(ms), text(ms * Decimal("0.7"), 4)] for ms in rising]),
          {"problem": "log-frame-time-unclear", "candidates": [
              {"column": "#1", "unit": "ms", "averageFps": average(rising)},
              {"column": "#2", "unit": "ms", "averageFps": average([Decimal(text(ms * Decimal("0.7"), 4)) for ms in rising])}]},
          about="two columns of one name")

    # ---- words, and the lack of them ----
    t = frame_times(400, 30)
    write("german-names", table(["Bild", "Zeit [s]", "Bildzeit [ms]"], [[str(i), text(e / 1000, 6).replace(".", ","), text(ms).replace(".", ",")] for i, (e, ms) in enumerate(zip(running(t), t))], ";"),
          figures(t), about="German words, decimal commas")
    for language, name in (("french", "Durée de trame"), ("polish", "czas klatki"), ("japanese", "フレーム時間"), ("russian", "Время кадра, мс")):
        write(f"{language}-name", table([name.replace(",", "")], [[text(ms)] for ms in t]), figures(t), about=f"the only column has a {language.capitalize()} name")
    heights = [Decimal(text(Decimal(22 + 8 * math.sin(i / 90)), 2)) for i in range(400)]
    both = [{"column": "altitude", "unit": "ms", "averageFps": average(heights)}, {"column": "altitude", "unit": "fps", "averageFps": average([1000 / x for x in heights])}]
    write("altitude", table(["altitude", "score"], [[text(x), str(7 * i % 50)] for i, x in enumerate(heights)]), {"problem": "log-frame-time-unclear", "candidates": both},
          about="numbers as large as frame times under a name that says something else")
    write("altitude-beside-rate", table(["altitude", "fps"], [[text(x), text(1000 / ms, 3)] for x, ms in zip(heights, t)]), figures([1000 / Decimal(text(1000 / ms, 3)) for ms in t]),
          about="numbers as large as frame times, and a rate that they do not agree with")
    slow = [Decimal(text(1000 / (ms * Decimal("2.6")), 2)) for ms in t]
    write("rates-no-header", "".join(f"{text(x)}\n" for x in slow), {"problem": "log-frame-time-unclear", "candidates": [
        {"column": "#1", "unit": "ms", "averageFps": average(slow)}, {"column": "#1", "unit": "fps", "averageFps": average([1000 / x for x in slow])}]},
          about="frame rates around 23 without a header: low ones now and then, where frame times would be long")
    write("slow-no-header", "".join(f"{text(ms * 2)}\n" for ms in t), figures([ms * 2 for ms in t]), about="frame times around 33 ms without a header, with long ones now and then")
    uptime = [Decimal(210_000_000) + (e * 1_000_000).to_integral_value() for e in running(t[:12])]
    write("twelve-nanosecond-readings", "".join(f"{x}\n" for x in uptime), figures([d / 1_000_000 for d in steps(uptime)], notUsed={"first reading of the clock": 1}),
          about="a dozen readings of a clock in nanoseconds and nothing else")
    minutes = [Decimal(text(e / 60_000, 9)) for e in running(t)]
    write("clock-in-minutes", table(["elapsed (min)", "load"], [[text(x), "77"] for x in minutes]), figures([d * 60_000 for d in steps(minutes)], notUsed={"first reading of the clock": 1}),
          about="nothing but a clock in minutes")

    long_spans = [Decimal(text(ms, 3)) for ms in t]
    spans = [f"00:00:00.{int(ms * 1000):06d}" for ms in long_spans]
    write("spans", table(["frame", "frame time"], [[str(i), x] for i, x in enumerate(spans)]), figures(long_spans), about="each frame's time as hours, minutes and seconds")
    write("spans-beside-clock", table(["time", "delta"], [[f"00:00:{e / 1000:09.6f}", x] for e, x in zip(running(long_spans), spans)]), figures(long_spans),
          about="hours, minutes and seconds in both the clock and the frame times")
    words = [f"Setting {i}: a line of text about {('shadows', 'water', 'foliage')[i % 3]}" for i in range(450)]
    write("long-preamble", "\n".join(words) + "\n\n" + table(*ordinary(t)), figures(t), about="450 lines of free text above the header")
    late = frame_times(700, 31)
    write("no-frames-at-first", table(["frame", "frame_time_ms"], [[str(i), "0" if i < 450 else text(late[i - 450])] for i in range(1150)]),
          figures(late, notUsed={"frame time zero or negative": 450}, flags=["damaged"]), about="450 rows of zeros before the first frame")
    write("two-rows-off-the-clock", "elapsed_ms,frame_time_ms\n0,16.6\n17.9,17.3\n", figures([Decimal("16.6"), Decimal("17.3")], flags=["time-missing"]),
          about="two rows whose clock was read a little late")
    packed = bytearray(gz(table(*ordinary(t)).encode()))
    packed[-6] ^= 0x55
    write("gzip-wrong-sum", bytes(packed), figures(t, flags=["cut-short"]), file="pass-1.csv.gz", about="a compressed file whose checksum is wrong")

    noon = [(datetime(2026, 3, 14, 11, 59, 58) + timedelta(microseconds=int(e * 1000))).strftime("%I:%M:%S %p") for e in running(t)]
    rates = [Decimal(text(1000 / ms, 2)) for ms in t]
    write("rate-beside-coarse-clock", table(["when", "fps"], [[x, text(rate)] for x, rate in zip(noon, rates)], ";"), figures([1000 / x for x in rates]),
          about="a clock in whole seconds, before noon and after, contradicts no frame rate")
    write("rate-each-second", table(["second", "fps"], [[str(i), str(100 + i % 13)] for i in range(180)]), {"problem": "log-not-per-frame"},
          about="whole seconds that go up by one are a clock: a row a second")
    gone = {7: "NaN ms", 160: "n/a ms", 161: "inf ms"}
    write("unit-behind-no-number", table(["frame time"], [[gone.get(i, f"{text(ms)} ms")] for i, ms in enumerate(t)]),
          figures([ms for i, ms in enumerate(t) if i not in gone], notUsed={"frame time empty": 3}, flags=["damaged"]), about="a unit behind cells without a number is no header")
    write("time-per-frame", table(["Zeit pro Bild, s;Zeitstempel, s"], [[text(ms / 1000, 6).replace(".", ",") + ";" + text(e / 1000, 6).replace(".", ",")] for e, ms in zip(running(t), t)]),
          figures([Decimal(text(ms / 1000, 6)) * 1000 for ms in t]), about="seconds per frame, which are no frames per second")
    whole = [(ms * 1000000).to_integral_value() for ms in t]
    write("whole-numbers-under-text", "Scene: the old harbour\n\n" + table(None, [[str(e), str(ms)] for e, ms in zip([sum(whole[: i + 1]) for i in range(len(whole))], whole)]),
          figures([ms / 1000000 for ms in whole]), about="two columns of whole numbers under a line of text are not one of decimal commas")
    write("thread-times", table(["Frame", "Game thread", "Render thread", "GPU"], [[text(ms), text(ms * Decimal("0.6"), 4), text(ms * Decimal("0.5"), 4), text(ms * Decimal("0.9"), 4)] for ms in t]),
          figures(t), about="times of the frame and of its parts, without a unit")
    write("sheet-with-blank-column", "Tide Runner,,,\n,,,\n" + table(["", "Frame", "Time (ms)", "Frametime (ms)"], [["", str(i), text(e), text(ms)] for i, (e, ms) in enumerate(zip(running(t), t))]),
          figures(t), about="a spreadsheet with a title, a blank row and a blank first column")
    write("sheet-errors", table(["time", "frame time (ms)", "fps"], [[text(e / 1000, 6), "" if i == 0 else text(ms), "#DIV/0!" if i == 0 else text(1000 / ms, 1)] for i, (e, ms) in enumerate(zip(running(t), t))], ";"),
          figures(t[1:], notUsed={"frame time empty": 1}, flags=["damaged"]), about="a spreadsheet whose first row has no frame time and an error for a rate")
    write("separator-line", b"\xef\xbb\xbf" + ("sep=;\r\n" + table(["Frame", "Frame time [ms]"], [[str(i), text(ms).replace(".", ",")] for i, ms in enumerate(t)], ";", "\r\n")).encode(),
          figures(t), about="a line that tells spreadsheets the delimiter")

    write("rate-beside-no-header", table(None, [[text(1000 / ms, 2), text(ms)] for ms in t]), figures(t), about="frame rates and frame times without a header: long frames tell which is which")
    # Frames of 3.5 to 4.5 ms, and now and then one of 2: by the long numbers alone, the rates would be the times.
    swift = [Decimal("2.1") if i % 25 == 7 else Decimal(35 + (i * 7) % 11) / 10 for i in range(150)]
    write("rate-beside-no-header-fast", table(None, [[text(ms, 2), text(1000 / ms, 3)] for ms in swift]), figures(swift), about="frame times and frame rates without a header, at 250 FPS, with fast frames now and then: nobody plays at 4 FPS")
    write("percentile-beside", table(["Frame Time", "Frame Time (99th)"], [[text(ms), "22.1000"] for ms in t]), figures(t), about="the frame time and its 99th percentile so far")
    write("three-rows-of-parts", "cpu,gpu,total\n8.1,8.5,16.6\n8.3,8.9,17.2\n8.0,8.9,16.9\n", figures([Decimal("16.6"), Decimal("17.2"), Decimal("16.9")]),
          about="three rows of two parts and their total")

    # ---- streams ----
    long_run = frame_times(1400, 21)
    write("title-changes-late", table(["window", "t_s", "frame_ms"], [["Loading" if i < 1200 else "Harbour", text(e / 1000, 6), text(ms)] for i, (e, ms) in enumerate(zip(running(long_run), long_run))]),
          figures(long_run), about="a window changes its title after the head of the file: the clock runs on")
    late = [[f"tide", text(e / 1000, 6), text(ms)] for e, ms in zip(running(long_run), long_run)]
    guest = frame_times(30, 22)
    for i, ms in enumerate(guest):
        late.insert(1150 + 5 * i, ["shell", text(Decimal(late[1150 + 5 * i - 1][1]) + Decimal("0.002")), text(ms)])
    write("second-stream-late", table(["app", "t_s", "frame_ms"], late), {"problem": "log-streams", "streams": [
        {"name": "tide", "frames": 1400, "averageFps": average(long_run)}, {"name": "shell", "frames": 30, "averageFps": average(guest)}]},
          about="a second program appears after the head of the file")
    a, b = frame_times(120, 12), frame_times(60, 13, usual=33.3)
    events = sorted([(sum(a[: i + 1]), "tide-runner.bin", x) for i, x in enumerate(a)] + [(sum(b[: i + 1]) + Decimal("0.3"), "overlay.bin", x) for i, x in enumerate(b)])
    header = ["program", "elapsed_ms", "frame_time_ms"]
    rows = [[name, text(at), text(x)] for at, name, x in events]
    streams = {"problem": "log-streams", "streams": [
        {"name": "tide-runner.bin", "frames": 120, "averageFps": average(a)},
        {"name": "overlay.bin", "frames": 60, "averageFps": average(b)}]}
    write("streams", table(header, rows), streams, about="two programs take turns")
    write("streams-no-clock", table([header[0], header[2]], [[row[0], row[2]] for row in rows]), streams, about="two programs, no clock")
    write("streams-odd-name", table(["who", *header[1:]], rows), streams, about="two programs in a column whose name says nothing: the clock tells")
    write("streams-settled", table(header, rows), figures(a, notUsed={"other stream": 60}),
          settings={"stream": {"column": "program", "equals": "tide-runner.bin"}}, about="the session picks one")
    write("one-stream", table(header, [row for row in rows if row[0] == "tide-runner.bin"]), figures(a), about="one program")
    modes = ["menu" if (i // 7) % 2 else "race" for i in range(120)]
    write("state-column", table(["elapsed_ms", "frame_time_ms", "what"], [[text(e), text(x), m] for e, x, m in zip(running(a), a, modes)]), figures(a),
          about="a column of two words that describes one stream: the clock tells")
    write("quoted-text", table(["program", "elapsed_ms", "frame_time_ms"], [['"Tide, ""the"" Runner"', text(e), text(x)] for e, x in zip(running(a), a)]),
          figures(a), about="commas and quotes inside quotes")

    # ---- rows of several kinds ----
    slow = frame_times(600, 23)
    watts = [Decimal(40 + i % 7) for i in range(0, 600, 60)]
    mixed, power, holds = [], Decimal(0), None
    for i, (e, ms) in enumerate(zip(running(slow), slow)):
        if i % 60 == 5:
            holds = watts[i // 60]
            mixed.append([text((e - ms / 2) / 1000, 6), "", text(holds), "61"])
        mixed.append([text(e / 1000, 6), text(ms), "", ""])
        power += ms * (watts[0] if holds is None else holds)
    write("readings-between-frames", table(["elapsed (s)", "frame time (ms)", "CPU power (W)", "CPU temp (C)"], mixed),
          figures(slow, notUsed={"readings between frames": 10}, sensors={"cpu-power": float(power / sum(slow))}),
          about="readings of slower sensors in rows of their own, between the frames")
    remarks = [[text(e), text(x)] + (["stutter"] if i % 25 == 3 else []) for i, (e, x) in enumerate(zip(running(a), a))]
    write("optional-last-cell", table(["elapsed_ms", "frame_time_ms", "remark"], remarks), figures(a), about="rows leave out their last cell where it is blank")

    # ---- damage ----
    t = frame_times(120, 14)
    h, r = ordinary(t)
    bad = {10: "", 30: "NaN", 50: "n/a", 70: "oops"}
    left = [x for i, x in enumerate(t) if i not in bad]
    write("nan-and-empty", table(h, [[*row[:2], bad.get(i, row[2])] for i, row in enumerate(r)]),
          figures(left, notUsed={"frame time empty": 3, "frame time not a number": 1}, flags=["damaged", "time-missing"]),
          about="cells without a frame time")
    bad = {20: "0", 40: "-16.7", 60: "25000.0"}
    left = [x for i, x in enumerate(t) if i not in bad]
    write("zero-and-negative", table([h[0], h[2]], [[row[0], bad.get(i, row[2])] for i, row in enumerate(r)]),
          figures(left, notUsed={"frame time zero or negative": 2, "frame time over 10 s": 1}, flags=["damaged"]),
          about="impossible frame times")
    one = frame_times(1500, 15)
    h1, r1 = ordinary(one)
    r1[700][2] = ""
    write("one-lost-in-1500", table(h1, r1), figures([x for i, x in enumerate(one) if i != 700], notUsed={"frame time empty": 1}),
          about="one lost frame in 1,500 is not yet damage")
    whole_text = table(h, r)
    write("cut-last-row", whole_text[: whole_text.rindex(",")], figures(t[:-1], notUsed={"cut off": 1}, flags=["cut-short"]),
          about="the file ends inside the last row")
    write("cut-last-number", whole_text.rstrip("\n")[:-2], figures(t[:-1], notUsed={"cut off": 1}, flags=["cut-short"]),
          about="the file ends inside the last number")
    write("repeated-header", table(h, r) + table(h, r[:40]), figures(t + t[:40], notUsed={"header repeated": 1}, flags=["restarted"]),
          about="the header comes again, and the clock begins again")
    write("clock-jumps-back", table(h, [*r, *[[str(121 + i), *row[1:]] for i, row in enumerate(r[:50])]]), figures(t + t[:50], flags=["restarted"]),
          about="the clock begins again without a header")
    write("segment-settled", table(h, r) + table(h, r[:40]), figures(t, notUsed={"header repeated": 1, "other stretch": 40}, flags=["restarted"]),
          settings={"segment": 1}, about="the session picks the first stretch")
    write("counter-starts-again", table([h[0], h[2]], [[row[0], row[2]] for row in [*r, *r[:50]]]), figures(t + t[:50], flags=["restarted"]),
          about="no clock; the frame counter begins again")
    gap = [[row[0], text(Decimal(row[1]) + (2 if i >= 60 else 0)), row[2]] for i, row in enumerate(r)]
    write("time-missing", table(h, gap), figures(t, flags=["time-missing"]), about="the clock jumps ahead by 2 s")
    spike = [list(row) for row in r]
    spike[80][1] = "99" + spike[80][1]
    write("clock-outlier", table(h, spike), figures(t), about="one damaged reading of the clock is no restart")
    short = [row + ["ok"] for row in r]
    for i in (15, 45):
        short[i] = short[i][:3]
    short[75] = short[75][:2]
    short[90] = short[90] + ["more"]
    write("uneven-rows", table([*h, "note"], short), figures([x for i, x in enumerate(t) if i != 75], notUsed={"too few cells": 1}, flags=["damaged", "time-missing"]),
          about="rows with fewer and more cells; one lacks its frame time")
    shifted = [[f"zone {i % 3}", *row] for i, row in enumerate(r)]
    shifted[33][0] = "zone 1, north"
    write("shifted-row", table(["zone", *h], shifted), figures([x for i, x in enumerate(t) if i != 33], notUsed={"too many cells": 1}, flags=["damaged", "time-missing"]),
          about="a comma outside quotes pushes the frame time aside")
    quote = table(h + ["note"], [row + ["x"] for row in r]).split("\n")
    quote[50] = quote[50].replace(",x", ',"x')
    write("stray-quote", "\n".join(quote), figures([x for i, x in enumerate(t) if i != 49], notUsed={"stray quote": 1}, flags=["damaged", "time-missing"]),
          about="a quote that is never closed costs one row")
    write("zero-bytes-at-end", table(h, r).encode() + b"\0" * 300, figures(t, notUsed={"cut off": 1}, flags=["cut-short"]),
          about="a crash left zero bytes behind the last row")
    write("three-frames", "frame_time_ms\n16.6\n17.1\n16.9\n", figures([Decimal("16.6"), Decimal("17.1"), Decimal("16.9")]), about="three frames")
    write("three-frames-rising", "time,frame time\n0.0166,16.6\n0.0335,16.9\n0.0506,17.1\n", figures([Decimal("16.6"), Decimal("16.9"), Decimal("17.1")]),
          about="three frames that happen to rise")
    write("words-for-numbers", table(h, [[*row[:2], "fast" if i % 2 else "slow"] for i, row in enumerate(r)]),
          {"problem": "log-words-for-numbers", "line": 2, "column": 13}, about="words throughout the frame-time column")
    write("empty", "", {"problem": "log-empty"}, about="no bytes")
    write("blank-lines", "\n\n  \n", {"problem": "log-empty"}, about="blank lines")
    write("header-alone", "frame,frame_time_ms\n", {"problem": "log-without-rows"}, about="a header and no rows")
    write("prose", "This is a letter.\nIt has no table, and no numbers.\n", {"problem": "log-no-table"}, about="text without a table")
    write("binary", bytes((i * 7919 + i * i) % 256 for i in range(2000)), {"problem": "log-binary"}, about="no text at all")
    write("header-too-short", table(["frame", "frame_time_ms"], r), {"problem": "log-header-width"}, about="fewer names than cells")
    write("escape-code-name", table(["\x1b[31mframe time\x1b[0m (ms)", "\x1b]0;owned\x07"], [[row[2], "1"] for row in r]), figures(t),
          about="a column name that is an escape code")
    write("no-frame-time", table(["width", "height"], [["1920", "1080"]] * 20), {"problem": "log-no-frame-time"}, about="numbers of another kind")

    # ---- sensors ----
    t = frame_times(300, 16)
    ends = running(t)
    rows, power, clock_mhz, load, temp = [], [], [], [], []
    start = Decimal(0)
    weights = {"cpu-power": Decimal(0), "cpu-clock": Decimal(0), "cpu-load": Decimal(0), "gpu-load": Decimal(0), "cpu-temperature": Decimal(0)}
    for i, (ms, e) in enumerate(zip(t, ends)):
        block = i // 25
        values = {"cpu-power": Decimal("45.5") + block, "cpu-clock": Decimal("4.2") - Decimal(block) / 100,
                  "cpu-load": Decimal(30 + block), "gpu-load": Decimal(95 - block), "cpu-temperature": Decimal("61.5") + block}
        rows.append([text(e), text(ms), *[text(v) for v in values.values()]])
        for role, value in values.items():
            weights[role] += ms * (value * 1000 if role == "cpu-clock" else value)
        start += ms
    total = sum(t)
    write("sensors-inside", table(["elapsed ms", "frame time ms", "CPU package power [W]", "CPU clock [GHz]", "CPU load %", "GPU load %", "CPU temp (°C)"], rows),
          figures(t, sensors={role: float(w / total) for role, w in weights.items()}), about="sensor columns in the log")
    beside = [["wall", "elapsed_s", "cpu_power_w", "core0_mhz", "core1_mhz"]]
    weighted = {"cpu-power": Decimal(0), "cpu-clock": Decimal(0)}
    first = -t[0] / 1000
    span = sum(t) / 1000
    for i in range(60):
        at = Decimal(i) / 10 - Decimal("0.05")
        values = {"cpu-power": Decimal(50 + i), "cpu-clock": Decimal(4000 + 10 * i)}
        beside.append([(START + timedelta(milliseconds=100 * i - 50)).strftime("%Y-%m-%dT%H:%M:%S.%f")[:-3] + "Z", text(at, 3),
                       text(values["cpu-power"]), text(values["cpu-clock"] - 100), text(values["cpu-clock"] + 100)])
        begin = max(at - first, Decimal(0)) if i > 0 else Decimal(0)
        finish = min(at + Decimal("0.1") - first, span) if i < 59 else span
        if finish > begin:
            for role, value in values.items():
                weighted[role] += value * (finish - begin)
    write("sensors-beside", table(*ordinary(t)), figures(t, sensors={role: float(w / span) for role, w in weighted.items()}),
          sensors=table(beside[0], beside[1:]), about="a second log with its own clock; two cores stand for the whole")
    card = [[text(e), text(ms), text(Decimal(120 + i // 30)), text(Decimal(200 + i // 20))] for i, (ms, e) in enumerate(zip(t, ends))]
    board = sum(ms * (200 + i // 20) for i, ms in enumerate(t)) / total
    write("board-power", table(["elapsed ms", "frame time ms", "GPU core power [W]", "GPU board power [W]"], card),
          figures(t, sensors={"gpu-power": float(board)}), about="the whole graphics card before its chip")
    for name, header in (("german-sensors", ["Zeit [ms]", "Bildzeit [ms]", "Prozessorleistung [W]", "Prozessortakt [MHz]"]),
                         ("russian-sensors", ["Время, мс", "Время кадра, мс", "Мощность CPU, Вт", "Частота CPU, МГц"])):
        held = [(45 + i // 40, 4200 - i // 30) for i in range(len(t))]
        write(name, table(header, [[text(e), text(ms), str(w), str(mhz)] for ms, e, (w, mhz) in zip(t, ends, held)], ";"),
              figures(t, sensors={"cpu-power": float(sum(ms * w for ms, (w, _) in zip(t, held)) / total),
                                  "cpu-clock": float(sum(ms * mhz for ms, (_, mhz) in zip(t, held)) / total)}),
              about="sensors named in another language, the quantity in its own unit")

    # ---- recorders of few words ----
    t = frame_times(150, 41)
    ends = running(t)
    first = {"first reading of the clock": 1}
    for name, scale, base in (("uptime-us-no-header", Decimal(1000), 981_237), ("uptime-ns-no-header", Decimal(1_000_000), 3_000_000)):
        readings = [int((base * 1000 + e) * scale) for e in ends]
        write(name, "".join(f"{x}\n" for x in readings), figures([Decimal(d) / scale for d in steps(readings)], notUsed=first),
              about=f"a clock of {base} s: as a date it would be older than frames are logged, and its rows seconds apart")
    readings = [int((1_773_859_647 + e) * 1000) for e in ends]
    write("uptime-like-a-date", "".join(f"{x}\n" for x in readings),
          {"problem": "log-frame-time-unclear", "candidates": [{"column": "#1", "unit": "us", "averageFps": average([Decimal(d) / 1000 for d in steps(readings)])}]},
          about="microseconds since the machine started, or a date in milliseconds whose rows lie seconds apart")
    micros = [int(e * 1000) for e in ends]
    together = [(START + timedelta(microseconds=m)).strftime("%Y%m%d %H:%M:%S.%f") for m in micros]
    write("date-in-one", table(["Timestamp", "Draws"], [[x, "912"] for x in together]),
          figures([Decimal(d) / 1000 for d in steps(micros)], notUsed=first, startedAt="2026-03-14T20:15:00.000Z"),
          about="dates whose year, month and day are written together")
    h, r = ordinary(t)
    absurd = {40: "1e9", 90: "1e9"}
    write("absurd-beside-clock", table(h[1:], [[row[1], absurd.get(i, row[2])] for i, row in enumerate(r)]),
          figures([x for i, x in enumerate(t) if i not in absurd], notUsed={"frame time over 10 s": 2}, flags=["damaged", "time-missing"]),
          about="two absurd frame times do not make the clock disagree")
    whole = [Decimal(f"{x * 1000:.0f}") for x in t]
    micros = [x / 1000 for x in whole]
    counted = "".join(f"{x},{i}\n" for i, x in enumerate(whole))
    for name, above in (("note-above-no-header", "Game,Saltworks\nRun,3\n"), ("remark-above-no-header", "; saved by hand\n; second try\n")):
        write(name, above + counted, figures(micros), about="what stands above the numbers names no columns")
    write("row-names", '"time" "frametime" "power"\n' + "".join(f'"{i + 1}" {row[1]} {row[2]} 45.1\n' for i, row in enumerate(r)), figures(t),
          about="rows with names of their own under a header that has none for those")
    sheet = {30: "#N/A", 60: "#DIV/0!"}
    write("sheet-error-first", table([h[2], h[0]], [[sheet.get(i, row[2]), row[0]] for i, row in enumerate(r)]),
          figures([x for i, x in enumerate(t) if i not in sheet], notUsed={"frame time empty": 2}, flags=["damaged"]),
          about="a spreadsheet's error at the start of a row is no comment")
    threads = random.Random(42)
    write("turns-of-one-stream", table(["Thread", *h[1:]], [[threads.choice(["main", "render"]), *row[1:]] for row in r]), figures(t),
          about="words that take turns in a single stream, by its clock")
    rounded = [[text(1000 / x, 2), str(round(x))] for x in frame_times(150, 44, usual=8.33)]
    write("rate-finer-than-time", table(["FPS", "Frame time (ms)"], rounded), figures([1000 / Decimal(rate) for rate, _ in rounded]),
          about="frame times in whole milliseconds beside their rate in hundredths")
    since = [int((1_773_859_647_371 + e) * 1_000_000) for e in running(frame_times(400, 45, usual=8.33))]
    beside = frame_times(400, 45, usual=8.33)
    write("clock-in-two-columns", table(["sec", "nsec", "frame time (ms)"], [[str(x // 10**9), str(x % 10**9), text(ms)] for x, ms in zip(since, beside)]),
          figures(beside), about="seconds and nanoseconds apart: the latter start over each second, and no log does")
    fast = frame_times(300, 46, usual=9)
    second = [int(e // 1000) for e in running(fast)]
    inside = [i - second.index(s) for i, s in enumerate(second)]
    write("frame-of-the-second", table(["Second", "Frame", "frame time (ms)"], [[str(s), str(i), text(ms)] for s, i, ms in zip(second, inside, fast)]),
          figures(fast), about="frames numbered anew in each second, which the column before them counts")
    swapped = [text(e / 1000, 4) for e in ends]
    swapped[60], swapped[61] = swapped[61], swapped[60]
    rising = [Decimal(x) for i, x in enumerate(swapped) if i != 61]
    write("swapped-readings-alone", table(["elapsed_s"], [[x] for x in swapped]),
          figures([d * 1000 for d in steps(rising)], notUsed={**first, "clock went back": 1}, flags=["damaged"]),
          about="a reading of the only clock lies before the one above it: a frame is lost")
    paced = [Decimal(f"{float(x) * (0.65 if i % 2 else 1.35):.3f}") for i, x in enumerate(t)]
    write("paced-no-header", "".join(f"{x}\n" for x in paced), figures(paced), about="every other frame is short: no rates with slow frames among them")

    # ---- recorders of many manners ----
    t = frame_times(150, 61)
    ends = running(t)
    _, r = ordinary(t)
    write("footer-percent-low", table(["elapsed_s", "frame_time_ms"], [row[1:] for row in r]) + "1% low,41.30\n0.1% low,33.10\n",
          figures(t, notUsed={"after the table": 2}), about="a summary under the table whose words begin with digits")
    write("time-by-unit", table(["t/s", "Bilddauer/s"], [[text(e / 1000, 7), text(ms / 1000, 7)] for ms, e in zip(t, ends)]), figures(t),
          about="a quantity over its unit: seconds, and no rate")
    for name, header in (("chinese-sensors", ["时间 (s)", "帧耗时(ms)", "CPU功耗(W)", "CPU频率(MHz)"]),
                         ("japanese-sensors", ["経過時間 (s)", "フレーム時間 (ms)", "CPU消費電力 (W)", "CPUクロック (MHz)"])):
        held = [(45 + i // 40, 4200 - i // 30) for i in range(len(t))]
        write(name, table(header, [[text(e / 1000, 7), text(ms), str(w), str(mhz)] for ms, e, (w, mhz) in zip(t, ends, held)]),
              figures(t, sensors={"cpu-power": float(sum(ms * w for ms, (w, _) in zip(t, held)) / sum(t)),
                                  "cpu-clock": float(sum(ms * mhz for ms, (_, mhz) in zip(t, held)) / sum(t))}),
              about="sensors named without a blank between the part and the quantity")
    for name, header in (("japanese-rate", "毎秒フレーム数"), ("polish-rate", "Klatki na sekundę")):
        rates = [Decimal(f"{1000 / ms:.2f}") for ms in t]
        write(name, table([header], [[text(x)] for x in rates]), figures([1000 / x for x in rates]), about="frames a second, in another language")
    watts = {0: "41.5", 60: "48.0", 110: "52.5"}
    readings = [Decimal(text(e / 1000, 4)) for e in ends]
    lengths = [d * 1000 for d in steps(readings)]
    held = sum(lengths[:59]) * Decimal("41.5") + sum(lengths[59:109]) * 48 + sum(lengths[109:]) * Decimal("52.5")
    write("sensor-on-first-reading", table(["elapsed_s", "cpu power [W]"], [[text(x), watts.get(i, "")] for i, x in enumerate(readings)]),
          figures(lengths, notUsed=first, sensors={"cpu-power": float(held / sum(lengths))}),
          about="a sensor printed where it was read, first in the row that begins the first frame")
    capped = [Decimal(30) + Decimal(i * 7919 % 7 - 3) / 10 for i in range(150)]
    write("rate-beside-constant", table(["FPS", "buffers"], [[text(x), "1"] for x in capped]), figures([1000 / x for x in capped]),
          about="a whole number that never changes is no frame time, whatever the rate beside it")
    write("summary-above-numbered", "Average,Minimum,Maximum,\n59,33,71,\n\nElapsed (s),#,Frame time (ms),\n"
          + "".join(f"{time},{i},{ms},\n" for i, time, ms in r), figures(t), about="a summary as wide as the log above it, one of whose names is a sign, and the last one blank")
    slow = frame_times(150, 62, usual=120)
    readings = [Decimal(text((e + 1000) / 1000, 4)) for e in running(slow)]
    write("slow-clock-alone", table(["elapsed"], [[f"0:{int(x // 60):02d}:{x % 60:07.4f}"] for x in readings]),
          figures([d * 1000 for d in steps(readings)], notUsed=first), about="nothing but moments, far apart: there is nothing that was sampled")
    under = "percentile,frame_time_ms\n50,16.61\n99,41.30\n99.9,44.02\n"
    write("percentiles-under-table", table(["frame", "frame_time_ms"], [[row[0], row[2]] for row in r]) + "\nSummary\n" + under,
          figures(t, notUsed={"after the table": 5}), about="another table under the log, as wide, with names of its own")
    write("percentiles-under-durations", table(["gpu_memory_mb", "frame_time_ms"], [[str(4200 + i * 7919 % 90), row[2]] for i, row in enumerate(r)]) + under,
          figures(t, notUsed={"after the table": 4}), about="the same where no running number starts over")
    write("average-under-other-numbers", table(["gpu_memory_mb", "frame_time_ms"], [[str(4200 + i * 7919 % 90), row[2]] for i, row in enumerate(r)]) + "Average FPS,58.2\n",
          figures(t, notUsed={"after the table": 1}), about="a summary whose words stand under a number that is neither clock nor counter")
    notes = "".join(f"Line {i} of notes, written by hand\n" for i in range(130))
    coarse = [Decimal(text(e, 3)) for e in ends]
    write("long-notes-decimal-comma", notes + table(["Time (ms)", "late"], [[text(x).replace(".", ","), "0"] for x in coarse], ";"),
          figures(steps(coarse), notUsed=first), about="notes with commas, more than the table's first lines, above semicolons and decimal commas")
    bare = [f"{ms / 1000:.4E}" for ms in t]
    write("exponent-last-row", table(["elapsed_s", "dt_s"], [[text(e / 1000, 7), x] for e, x in zip(ends, bare)], last_end=False),
          figures([Decimal(x) * 1000 for x in bare]), about="the last row, which nothing ends, is whole: its exponent is there")
    write("blank-last-cell", table(["elapsed_s", "frame_time_ms", "cpu power [W]"], [[*row[1:], "45.5" if i % 30 == 0 else ""] for i, row in enumerate(r)], last_end=False),
          figures(t, sensors={"cpu-power": 45.5}), about="the last row, which nothing ends, has nothing in a cell that is mostly blank")
    write("quoted-last-cell", table(['"elapsed_s"', '"frame_time_ms"'], [[f'"{row[1]}"', f'"{ms.normalize():f}"'] for row, ms in zip(r, t)][:-1] + [[f'"{r[-1][1]}"', '"17"']], last_end=False),
          figures([*t[:-1], Decimal(17)]), about="the last cell is in quotes, which are closed: no digit is lost")
    lined = [["#", "time", "frame time"], *[[row[0], row[1], row[2]] for row in r]]
    write("blanks-names-of-two-words", "".join("".join(f"{c:>{w}}" for c, w in zip(row, (5, 11, 11))) + "\n" for row in lined), figures(t),
          about="names of two words, one blank apart from the next, that end where their values end")
    write("blanks-names-at-starts", "".join("".join(f"{c:<{w}}" for c, w in zip(row, (4, 11, 11))).rstrip() + "\n" for row in lined), figures(t),
          about="the same where they begin where their values begin, under a sign that is no comment's")
    write("sign-and-blank-end", "#,FPS,\n" + "".join(f"{i},{round(1000 / ms)},\n" for i, ms in enumerate(t)), figures([1000 / Decimal(round(1000 / ms)) for ms in t]),
          about="a header that begins with a sign and ends with the delimiter")
    for name, form in (("date-with-month-name", "%b %d %Y %H:%M:%S.%f"), ("date-dash-time", "%Y.%m.%d-%H:%M:%S.%f")):
        moments = [START + timedelta(microseconds=int(e * 1000)) for e in ends]
        whole = [Decimal(int(e * 1000)) / 1000 for e in ends]
        write(name, table(["when"], [[x.strftime(form)] for x in moments]), figures(steps(whole), notUsed=first), about="a date in an order of its own before the time of day")
    dated = [Decimal(text(1_773_859_647 + e / 1000, 4)) for e in ends]
    write("clock-epoch-s-tenths-of-ms", table(["timestamp", "scene"], [[text(x), "quay"] for x in dated]), figures([d * 1000 for d in steps(dated)], notUsed=first),
          about="a date in seconds with four decimals: the steps are whole tenths of a millisecond")
    for name, header in (("sync-interval-beside-clock", "t_ms"), ("sync-interval-beside-rate", "FPS")):
        rates = [Decimal(f"{1000 / ms:.2f}") for ms in t]
        of = [1000 / x for x in rates] if header == "FPS" else steps(ends)
        write(name, table([header, "sync interval"], [[text(x), "0" if i < 3 else "1"] for i, x in enumerate(rates if header == "FPS" else ends)]),
              figures(of, notUsed={} if header == "FPS" else first), about="a setting that counts intervals is no time, whatever its name")
    paused = [*t[:60], Decimal("4800.0"), *t[60:]]
    readings = [Decimal(text(e, 2)) for e in running(paused)]
    write("pause-beside-rate", table(["clock", "FPS"], [[text(e), text(1000 / ms, 1)] for e, ms in zip(readings, paused)]),
          figures(steps(readings), notUsed=first), about="a pause makes the mean row long, and the log no log of samples")
    write("below-zero-last-row", table(["elapsed_s", "frame_time_ms", "camera_x"], [[*row[1:], f"-{30 + i * 7919 % 17}.25"] for i, row in enumerate(r)], last_end=False), figures(t),
          about="the last row, which nothing ends, is whole: a number below zero lacks no digit")
    lap = [Decimal(text(e / 1000, 3)) for e in ends]
    nanos = [int(e * 1_000_000) for e in ends]
    write("finer-of-two-clocks", table(["lap time (s)", "Timestamp in ns"], [[text(x), str(n)] for x, n in zip(lap, nanos)]),
          figures([Decimal(d) / 1_000_000 for d in steps(nanos)], notUsed=first), about="of two clocks the finer one; time in a unit is spent in no part of the frame")
    rates = [Decimal(text(1000 / ms, 2)) for ms in t]
    write("other-times-beside-rate", table(["FPS", "disk read (ms)", "ping (ms)"], [[text(x), f"{4 + i * 7919 % 90 / 100:.2f}", f"{16 + i * 31 % 9 / 10:.1f}"] for i, x in enumerate(rates)]),
          figures([1000 / x for x in rates]), about="times of something else are no frame times, when a rate is there that they are not the inverse of")
    write("constant-beside-clock", table(["elapsed (us)", "slots", "physics step (ms)"], [[str(n // 1000), "17", "16.667"] for n in nanos]),
          figures([Decimal(d) / 1000 for d in steps([n // 1000 for n in nanos])], notUsed=first), about="a number that stays near the clock's steps is not what they are")
    write("date-basic-form", table(["when"], [[(START + timedelta(microseconds=n // 1000)).strftime("%Y%m%dT%H%M%S.%fZ")] for n in nanos]),
          figures([Decimal(d) / 1000 for d in steps([n // 1000 for n in nanos])], notUsed=first), about="the basic form of ISO 8601")

    quick = [x / 4 for x in frame_times(1200, 46)]
    ends = running(quick)
    write("clock-whole-seconds-of-more-digits", table(["time (s)", "frame time (ms)"], [[text(e // 1000, 3), text(x, 3)] for e, x in zip(ends, quick)]), figures([Decimal(text(x, 3)) for x in quick]),
          about="a clock of whole seconds, printed with three decimals: its steps tell how coarse it is")
    rates = [Decimal(f"{1000 / x:.2f}") for x in quick]
    write("ticks-of-a-third", table(["timestamp", "fps"], [[text(9_000_000_000 + int(e * 3000)), text(y)] for e, y in zip(ends, rates)]), figures([1000 / x for x in rates]),
          about="a timestamp in ticks of its own: no microseconds, as the rate shows")

    rates = [Decimal(f"{1000 / x:.2f}") for x in t]
    write("rates-of-parts", table(["cpu fps", "fps", "gpu fps"], [[text(y * (13 + i % 4) / 10, 2), text(y), text(y * (21 + i % 3) / 20, 2)] for i, y in enumerate(rates)]), figures([1000 / x for x in rates]),
          about="what each part alone could do, and the rate of the frames")

    quick = [x / 4 for x in frame_times(300, 49)]
    gained = running([Decimal(1 + i * 7919 % 13) for i in range(300)])
    write("growing-beside-times", table(["experience", "frame time (ms)"], [[text(x), text(y, 3)] for x, y in zip(gained, quick)]), figures([Decimal(text(x, 3)) for x in quick]),
          about="a number that only grows, and whose name says nothing of time, contradicts no frame times")
    write("growing-beside-rate", table(["experience", "fps"], [[text(x), text(1000 / y, 2)] for x, y in zip(gained, quick)]), figures([1000 / Decimal(text(1000 / x, 2)) for x in quick]),
          about="nor a rate")
    jitter = random.Random(51)
    steady = [Decimal(f"{15 + jitter.gauss(0, 0.3):.3f}") for _ in range(400)]
    steady[-1] += 6000 - sum(steady)
    ends = [Decimal(0)] + [sum(steady[:i + 1]) for i in range(400)]
    write("steady-frames-beside-sensors", table(["time (s)", "package (W)"], [[text(e / 1000, 6), str(48 + i * 31 % 9)] for i, e in enumerate(ends)]), figures(steady, notUsed=first),
          about="frames of fifteen milliseconds on average, which no timer set: they drift from its pace")
    whole = [Decimal(text(x * 100, 0)) / 100 for x in quick]
    write("total-of-more-than-its-parts", table(["simulation (ms)", "culling (ms)", "gpu submit (ms)", "total (ms)"], [[text(x * 2 / 10, 2), text(x * 3 / 10, 2), text(x * 35 / 100, 2), text(x, 2)] for x in whole]), figures(whole),
          about="parts that leave out the wait: the total is longer than each of them")
    write("whole-microseconds-by-rate", table(["frame time", "fps"], [[text(x * 10000, 0), text(100 / x, 1)] for x in whole]), figures([x * 10 for x in whole]),
          about="whole numbers of no stated unit, which the rate beside them shows to be microseconds")
    noted = [[text(i + 1), text(e / 1000, 5), text(x, 2)] for i, (e, x) in enumerate(zip(running(whole), whole))]
    write("notes-of-two-cells-no-header", "Graphics,Example GX\nDriver,551\nRefresh rate,fixed\n" + table(None, noted), figures(whole),
          about="names and values above three columns without names: the last note is no header that lost a name")
    write("remark-of-two-cells-no-header", "# Quality: high, no shadows\n" + table(None, [row[1:] for row in noted]), figures(whole),
          about="a remark that a comma cuts into as many cells as the rows have")

    begins = [Decimal(text(e / 1000, 6)) for e in [Decimal(0), *running(whole)[1:]]]
    finishes = [x + Decimal(text(y * 4 / 5000, 6)) for x, y in zip(begins, whole[1:])]
    both = [row for x, y in zip(begins, finishes) for row in ([text(x), "begin"], [text(y), "end"])]
    write("begins-and-ends", table(["time (s)", "event"], both), {"problem": "log-streams", "streams": [
        {"name": name, "frames": len(of) - 1, "averageFps": average([1000 * x for x in steps(of)])} for name, of in (("begin", begins[:-1]), ("end", finishes))]},
          about="rows of two kinds in turn, each steady by itself: not every row is a frame")
    scenes = [*([Decimal("16.70"), Decimal("16.71")] * 60), *[x * 4 for x in whole[:120]]]
    readings = [Decimal(0), *(sum(scenes[:i + 1]) / 1000 for i in range(240))]
    write("steady-scene-before-another", table(["time (s)", "marker"], [[text(x, 5), "harbour" if i < 120 else "ridge"] for i, x in enumerate(readings)]), figures(scenes, notUsed=first),
          about="scenes one after the other, one of them far steadier than both together: one stream")
    write("turns-of-buffers", table(["time (s)", "buffer"], [[text(x), "ABCDE"[i % 5]] for i, x in enumerate(begins)]), figures([1000 * x for x in steps(begins)], notUsed=first),
          about="frames of one stream that take turns: five of them together are steadier than one, as sums are")

    write("interval-and-call", table(["present interval (ms)", "present call duration (ms)"], [[text(x, 2), text(x / 16, 3)] for x in whole]), figures(whole),
          about="from one present to the next, and within the call to it")
    write("thousands-in-one-column", table(["frame time (ms)"], [["1,972.28" if i == 150 else text(x, 2)] for i, x in enumerate(whole)]), figures([x for i, x in enumerate(whole) if i != 150], notUsed={"too many cells": 1}, flags=["damaged"]),
          about="one long frame with its thousands parted: no frame of one millisecond")

    # ---- tables that are no logs of frames ----
    def doubtful(name, content, column, unit, times_ms, about):
        write(name, content, {"problem": "log-frame-time-unclear", "candidates": [{"column": column, "unit": unit, "averageFps": average(times_ms)}]}, about=about)

    twice = [ms for ms in t for _ in range(2)]
    doubtful("rows-twice-by-counter", table(["frame", "frame_time_ms"], [[str(i // 2), text(ms)] for i, ms in enumerate(twice)]), "frame_time_ms", "ms", twice,
             "every row stands twice: one frame written twice, or two frames")
    doubtful("rates-twice", table(["fps"], [[text(1000 / ms, 2)] for ms in twice]), "fps", "fps", [1000 / Decimal(text(1000 / ms, 2)) for ms in twice],
             "the same of rates alone")
    bins = [Decimal(5) + Decimal(i) / 4 for i in range(150)]
    doubtful("bins-of-frame-times", table(["frame time (ms)", "count"], [[text(x, 2), str(i * 37 % 90)] for i, x in enumerate(bins)]), "frame time (ms)", "ms", steps(bins),
             "how many frames took how long: values that only rise")
    shares = sorted((Decimal(f"{1000 / x:.1f}") for x in frame_times(150, 43)), reverse=True)
    doubtful("percentiles-of-rates", table(["percentile", "fps"], [[str(i), text(x)] for i, x in enumerate(shares)]), "fps", "fps", [1000 / x for x in shares],
             "frame rates by size")
    polled = [Decimal(100 * i + i * 7919 % 5) for i in range(150)]
    doubtful("sensors-alone", table(["ms", "package W", "core MHz"], [[text(x), text(Decimal(48 + i * 31 % 9)), str(4300 + i * 53 % 90)] for i, x in enumerate(polled)]), "ms", "ms", steps(polled),
             "sensors that were read ten times a second")
    each = [Decimal(90 + i * 7919 % 21) for i in range(150)]
    doubtful("rates-with-extremes", table(["FPS", "Min FPS", "Max FPS"], [[text(x), text(x - 3 - i * 31 % 9), text(x + 2 + i * 17 % 11)] for i, x in enumerate(each)]), "FPS", "fps",
             [1000 / x for x in each], "a row a second, between the extremes of its frames")
    bins = [Decimal(i + 1) / 2 for i in range(150)]
    doubtful("bins-in-ms", table(["ms", "count"], [[text(x), str(i * 37 % 90)] for i, x in enumerate(bins)]), "ms", "ms", steps(bins),
             "how many frames took how long, under no name but a unit")
    sizes = sorted(frame_times(1000, 48, 7, 2))
    write("percentiles-beside-times", table(["percentile", "frame time (ms)"], [[text(Decimal(i) / 10), text(x)] for i, x in enumerate(sizes)]), {"problem": "log-not-per-frame"},
          about="frame times by size: percentiles, which rise as evenly, are no clock")
    polled = [Decimal(20 * i + i * 7919 % 3) for i in range(150)]
    doubtful("sensors-every-20-ms", table(["time (ms)", "package (W)", "board (W)"], [[text(x), str(48 + i * 31 % 9), str(170 + i * 53 % 90)] for i, x in enumerate(polled)]), "time (ms)", "ms", steps(polled),
             "sensors that were read fifty times a second, by a timer")
    polled = [Decimal(50 * i + i * 7919 % 3) for i in range(150)]
    doubtful("average-of-closer-frames", table(["time (ms)", "average frame time (ms)"], [[text(x), text(Decimal(700 + i * 31 % 90) / 100, 2)] for i, x in enumerate(polled)]), "time (ms)", "ms", steps(polled),
             "rows seven times as far apart as frames are on average, by the row's own average")
    rates = [Decimal(138) + Decimal(i * 7919 % 50) / 10 for i in range(150)]
    polled = [Decimal(16 * i) / 1000 for i in range(150)]
    both = [{"column": "fps", "unit": "fps", "averageFps": average([1000 / x for x in rates])}, {"column": "time (s)", "unit": "s", "averageFps": average([1000 * x for x in steps(polled)])}]
    write("rate-of-closer-frames", table(["time (s)", "fps"], [[text(x, 3), text(y)] for x, y in zip(polled, rates)]), {"problem": "log-frame-time-unclear", "candidates": both},
          about="the rate says half of what the rows lie apart: any two columns that stay are in step in some ratio")
    seconds = [(START + timedelta(milliseconds=100 * i)).strftime("%H:%M:%S") for i in range(150)]
    write("samples-in-whole-seconds", table(["time", "frame time (ms)"], [[x, text(Decimal(900 + i * 7919 % 300) / 100, 2)] for i, x in enumerate(seconds)]), {"problem": "log-not-per-frame"},
          about="ten rows in each second of frames of a hundredth")
    quick = [x / 4 for x in frame_times(1200, 47)]
    ends = running(quick)
    write("comma-beside-point", table(["time", "frame time (ms)"], [[text(182050 + e / 1000, 3), text(x, 3).replace(".", ",")] for e, x in zip(ends, quick)], ";"),
          {"problem": "log-frame-time-unclear", "candidates": [{"column": "frame time (ms)", "unit": "ms", "averageFps": average([1000 * Decimal(text(x, 3)) for x in quick if x < 10])}, {"column": "time", "unit": "s", "averageFps": average([1000 * x for x in steps([Decimal(text(182050 + e / 1000, 3)) for e in ends])])}]},
          about="two decimal signs in one table: read as thousands, the times are a million times as long as the clock's steps")
    quick = [x / 4 for x in frame_times(300, 50)]
    ticks = [Decimal(text(x * 10000, 0)) for x in quick]
    doubtful("ticks-of-no-unit", table(["frame time"], [[text(x)] for x in ticks]), "frame time", "us", [x / 1000 for x in ticks],
             "whole numbers that are microseconds below 30 FPS, or ticks of frames ten times as short")
    write("ticks-beside-their-rate", table(["frame time", "fps"], [[text(x), text(1000 / y, 1)] for x, y in zip(ticks, quick)]), {"problem": "log-frame-time-unclear", "candidates": [
        {"column": "frame time", "unit": "us", "averageFps": average([x / 1000 for x in ticks])}]}, about="the rate beside them says a tenth of what the values are in microseconds")
    write("frame-time-ms-against-a-rate", table(["frame time (ms)", "fps"], [[text(x, 3), text(4000 / x, 1)] for x in quick]), {"problem": "log-frame-time-unclear", "candidates": [
        {"column": "frame time (ms)", "unit": "ms", "averageFps": average([Decimal(text(x, 3)) for x in quick])}, {"column": "fps", "unit": "fps", "averageFps": average([1000 / Decimal(text(4000 / x, 1)) for x in quick])}]},
          about="a rate of four times what the frame times say: one of the two is of something else")
    write("part-of-no-known-name", table(["culling (ms)", "gpu submit (ms)"], [[text(x * 3 / 10, 3), text(x * 35 / 100, 3)] for x in quick]), {"problem": "log-frame-time-unclear", "candidates": [
        {"column": name, "unit": "ms", "averageFps": average([Decimal(text(x * share, 3)) for x in quick])} for name, share in (("culling (ms)", Decimal(3) / 10), ("gpu submit (ms)", Decimal(35) / 100))]},
          about="beside a part of the frame, a time of something unknown is hardly the frame's")
    ends = [Decimal(text(e / 1000, 6)) for e in running(quick)]
    means = [Decimal(text(sum(quick[max(0, i - 7):i + 1]) / len(quick[max(0, i - 7):i + 1]), 3)) for i in range(len(quick))]
    write("running-average-beside-clock", table(["time (s)", "frame time (ms)"], [[text(e), text(x)] for e, x in zip(ends, means)]), {"problem": "log-frame-time-unclear", "candidates": [
        {"column": "frame time (ms)", "unit": "ms", "averageFps": average(means)}, {"column": "time (s)", "unit": "s", "averageFps": average([1000 * x for x in steps(ends)])}]},
          about="an average of eight frames that says nothing of being one: its lows are not the frames'")
    write("rate-of-a-part-alone", table(["cpu fps"], [[text(1000 / x, 2)] for x in quick]), {"problem": "log-frame-time-unclear", "candidates": [
        {"column": "cpu fps", "unit": "fps", "averageFps": average([1000 / Decimal(text(1000 / x, 2)) for x in quick])}]}, about="what the processor alone could do, and no frames")


def gz(data):
    out = io.BytesIO()
    with gzip.GzipFile(fileobj=out, mode="wb", mtime=0) as packed:
        packed.write(data)
    return out.getvalue()


main()
