"""Streams of cases by several processes, and by a real Dask cluster that loses a worker."""

import json
import multiprocessing
import os
import signal
import subprocess
import sys
import threading
import time

import pytest
import strategies

from risk.commands.spread import CHUNK, chunks, in_processes

FAMILIES = 12 * CHUNK


@pytest.fixture
def stream(tmp_path):
    """Cases one a line, each naming another person, with a wrong and an impossible one."""
    path = tmp_path / "cases.jsonl"
    lines = [
        json.dumps(strategies.random_family(seed, 10 + seed % 7, mode="autosomal_recessive"))
        for seed in range(FAMILIES)
    ]
    impossible = json.loads(lines[1])
    impossible["people"][0] |= {"affected": True, "genotype": 0}
    impossible["people"][0].pop("tests", None)
    lines[7], lines[40] = '{"version": 1}', json.dumps(impossible)
    path.write_text("\n".join(lines) + "\n", encoding="utf-8")
    return path


def command(stream, *options):
    return [sys.executable, "-m", "risk", "solve", "--json", str(stream), *options]


def solved(stream, *options):
    return subprocess.run(command(stream, *options), capture_output=True, text=True, check=False)


def test_chunks_hold_every_item_once_in_order():
    assert [n for chunk in chunks(range(1000)) for n in chunk] == list(range(1000))


def test_few_items_are_shared_out():
    sizes = [len(chunk) for chunk in chunks(range(40 * CHUNK))]
    assert sizes[:8] == [1] * 8
    assert max(sizes) == CHUNK


def _slowly(chunk):
    time.sleep(20)
    for path in chunk:
        path.write_text("done", encoding="utf-8")
    return chunk


def test_ctrl_c_waits_for_no_case(tmp_path):
    done = [tmp_path / "one", tmp_path / "two"]
    main = threading.main_thread().ident
    stop = threading.Timer(1, signal.pthread_kill, [main, signal.SIGINT])
    stop.start()
    with pytest.raises(KeyboardInterrupt):
        next(in_processes(_slowly, done, 2))
    stop.join()
    assert not multiprocessing.active_children()
    assert not any(path.exists() for path in done)


def test_a_stream_is_not_read_far_ahead():
    read = []

    def numbers():
        for number in range(100 * CHUNK):
            read.append(number)
            yield number

    results = in_processes(list, numbers(), 2)
    assert next(results) == 0
    assert len(read) <= 10 * CHUNK
    results.close()


def test_workers_print_what_one_process_prints(stream):
    alone, together = solved(stream), solved(stream, "--workers", "2")
    assert len(alone.stdout.splitlines()) == FAMILIES
    assert together.stdout == alone.stdout
    assert together.stderr == alone.stderr
    assert together.returncode == alone.returncode == 3
    pages = [["--workers", n] for n in ("1", "2")]
    texts = [
        subprocess.run(
            [sys.executable, "-m", "risk", "explain", str(stream), *page],
            capture_output=True,
            text=True,
            check=False,
        ).stdout
        for page in pages
    ]
    assert texts[0] == texts[1] != ""


@pytest.mark.parametrize(
    "pages", [["report", "-o", "{}.pdf"], ["worksheet", "-o", "{}.pdf", "--key", "{}-key.pdf"]]
)
def test_workers_make_the_same_pages(pages, tmp_path):
    cases = tmp_path / "cases.jsonl"
    lines = [
        json.dumps(strategies.random_family(seed, 8, mode="autosomal_recessive"))
        for seed in range(6)
    ]
    cases.write_text("\n".join(lines), encoding="utf-8")
    made = []
    for workers in ("1", "2"):
        folder = tmp_path / workers
        folder.mkdir()
        words = [word.format(folder / "pages") for word in pages]
        options = [str(cases), "--date", "", "--workers", workers]
        python = [sys.executable, "-m", "risk"]
        subprocess.run([*python, *words, *options], check=True, capture_output=True)
        made.append({path.name: path.read_bytes() for path in folder.iterdir()})
    assert made[0] == made[1]
    assert len(made[0]) == len(pages) // 2


def test_an_answer_comes_before_the_stream_ends(stream):
    lines = stream.read_bytes().splitlines(keepends=True)[:3]
    process = subprocess.Popen(
        [sys.executable, "-m", "risk", "solve", "--json", "-"],
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        bufsize=0,  # `communicate` would not see what a buffer holds beyond the first line
    )
    process.stdin.write(b"".join(lines[:2]))
    process.stdin.flush()
    first = process.stdout.readline()  # would wait for ever if the rest were waited for
    rest, _ = process.communicate(lines[2], timeout=60)
    assert (first + rest).decode() == "".join(solved(stream).stdout.splitlines(True)[:3])


@pytest.mark.parametrize("number", ["0", "-1", "two", "1.5"])
def test_a_number_of_workers_is_asked_for(stream, number):
    done = solved(stream, f"--workers={number}")
    assert done.returncode == 2
    assert "--workers" in done.stderr and "is not a number of processes" in done.stderr


@pytest.mark.parametrize(
    ("address", "said"),
    [
        ("nonsense://nowhere", "is no address; one looks like tcp://127.0.0.1:8786"),
        ("", "is no address; one looks like tcp://127.0.0.1:8786"),
        ("tcp://127.0.0.1:x", "is no address; one looks like tcp://127.0.0.1:8786"),
        ("tcp://[::1", "is no address; one looks like tcp://127.0.0.1:8786"),
        ("tcp://127.0.0.1:1", "no scheduler answers there; check the address, or start"),
        ("nowhere.invalid", "no machine of this name is known here; check the address, or start"),
    ],
)
def test_a_cluster_that_is_not_there_is_said_in_a_line(stream, address, said):
    pytest.importorskip("distributed")
    done = solved(stream, "--cluster", address)
    assert done.returncode == 1
    assert done.stderr.startswith(f'--cluster "{address}": {said}')
    assert len(done.stderr.splitlines()) == 1


def test_a_cluster_loses_a_worker_and_no_answer(stream, tmp_path):
    """A scheduler and two workers on loopback; one is killed with chunks in hand.

    It is halted first, so that it surely holds chunks that it has not done.
    """
    pytest.importorskip("distributed")
    where = tmp_path / "scheduler.json"
    dask = [sys.executable, "-m", "dask"]
    quiet = {"stdout": subprocess.DEVNULL, "stderr": subprocess.DEVNULL, "cwd": tmp_path}
    file = ["--scheduler-file", str(where), "--no-dashboard"]
    running = [
        subprocess.Popen([*dask, "scheduler", "--host", "127.0.0.1", "--port", "0", *file], **quiet)
    ]
    try:
        for _ in range(300):
            if where.exists() and where.read_text(encoding="utf-8").endswith("}"):
                break
            time.sleep(0.1)
        address = json.loads(where.read_text(encoding="utf-8"))["address"]
        worker = [*dask, "worker", "--scheduler-file", str(where), "--no-dashboard"]
        worker += ["--no-nanny", "--nthreads", "1", "--host", "127.0.0.1"]
        names = ("doomed", "spared")
        running += [subprocess.Popen([*worker, "--name", name], **quiet) for name in names]
        from distributed import Client

        with Client(address, set_as_default=False) as client:
            client.wait_for_workers(2, timeout=60)
            [doomed] = [
                address
                for address, worker in client.scheduler_info()["workers"].items()
                if worker["name"] == "doomed"
            ]
            os.kill(running[1].pid, signal.SIGSTOP)
            process = subprocess.Popen(
                command(stream, "--cluster", address), stdout=subprocess.PIPE, text=True
            )
            for _ in range(600):
                if held := client.processing().get(doomed):
                    break
                time.sleep(0.1)
            assert held
            running[1].kill()
            lines = process.stdout.readlines()
        assert process.wait() == 3
    finally:
        for process in reversed(running):
            process.kill()
            process.wait()
    assert "".join(lines) == solved(stream).stdout
