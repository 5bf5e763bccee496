"""Work in order, by several processes or by a Dask cluster, however long the stream.

Both take chunks of work as they come and give back what becomes of each, in the same order, with
only a few chunks in hand at a time.
"""

from __future__ import annotations

from collections import deque
from collections.abc import Callable, Iterable, Iterator, Sequence
from importlib import import_module
from itertools import islice
from socket import create_connection, gaierror
from typing import Any, Protocol, TypeVar
from urllib.parse import urlsplit

from risk.problems import RiskError, shown

Work = TypeVar("Work")
Result = TypeVar("Result")

#: Cases handed over at once: enough that handing over costs little beside solving (a family of
#: 30 takes about a millisecond), few enough that the last chunk keeps nobody waiting.
CHUNK = 16
#: So many chunks hold one case, then as many twice that: few large cases are shared out, too.
_AS_SMALL = 16
#: Chunks in hand for each worker: one being done, and the next ones ready.
_AHEAD = 4
#: What a cluster of unknown size gets in hand.
_CLUSTER_AHEAD = 64


class _Future(Protocol):
    def result(self) -> Any: ...


def chunks(work: Iterable[Work], most: int = CHUNK) -> Iterator[list[Work]]:
    """Cut a stream into lists of 1, 2, 4 and so on up to so many items, the last one shorter."""
    stream, size = iter(work), 1
    while True:
        for _ in range(_AS_SMALL):
            if not (chunk := list(islice(stream, size))):
                return
            yield chunk
        size = min(2 * size, most)


def in_processes(
    function: Callable[[Sequence[Work]], list[Result]],
    work: Iterable[Work],
    workers: int,
    size: int = CHUNK,
) -> Iterator[Result]:
    """Do `function` on chunks of `work` in so many processes; yield the results in order.

    The processes end with the iterator, and at once where it ends early: Ctrl-C waits for no case.
    Raises RiskError where a process is stopped from outside (for want of memory, say).
    """
    from concurrent.futures import ProcessPoolExecutor
    from concurrent.futures.process import BrokenProcessPool
    from multiprocessing import active_children

    finished = False
    with ProcessPoolExecutor(workers, initializer=_let_the_first_process_be_stopped) as pool:
        try:
            yield from _in_order(
                lambda chunk: pool.submit(function, chunk), chunks(work, size), workers * _AHEAD
            )
            finished = True
        except BrokenProcessPool:
            raise RiskError(
                "a worker process was stopped from outside (is the memory full?); try fewer "
                "--workers"
            ) from None
        finally:
            for process in () if finished else active_children():
                process.terminate()
            pool.shutdown(cancel_futures=True)


def on_cluster(
    function: Callable[[Sequence[Work]], list[Result]], work: Iterable[Work], address: str
) -> Iterator[Result]:
    """Do `function` on chunks of `work` on the Dask cluster whose scheduler is at `address`.

    The scheduler gives the chunks of a worker that dies to the others.  This package must be
    installed on every worker.  Raises RiskError where there is no such cluster.
    """
    try:
        distributed = import_module("distributed")
    except ImportError:
        raise RiskError(
            "--cluster needs the package distributed; install twothirds-risk[cluster]"
        ) from None
    try:
        # A client that never connected says so at length, and again as the program ends.
        create_connection(_host_and_port(address), timeout=10).close()
        client = distributed.Client(address, timeout=20, set_as_default=False)
    except (OSError, ValueError, MemoryError) as error:  # the last: an answer that is not Dask's
        raise RiskError(f"--cluster {shown(address)}: {_why_not(error)}") from None
    with client:
        yield from _in_order(
            lambda chunk: client.submit(function, chunk, pure=False), chunks(work), _CLUSTER_AHEAD
        )


def _host_and_port(address: str) -> tuple[str, int]:
    place = urlsplit(address if "://" in address else f"tcp://{address}")
    if place.scheme not in ("tcp", "tls") or not place.hostname:
        raise ValueError
    return place.hostname, place.port or 8786


def _why_not(error: OSError | ValueError | MemoryError) -> str:
    """Say in words why no cluster was reached, and the mend."""
    if isinstance(error, ValueError):
        return "is no address; one looks like tcp://127.0.0.1:8786"
    kinds: tuple[tuple[type[Exception], str], ...] = (
        (gaierror, "no machine of this name is known here"),
        (ConnectionRefusedError, "no scheduler answers there"),
        (TimeoutError, "no answer in time"),
        (OSError, (getattr(error, "strerror", None) or "what answers is no scheduler").lower()),
        (MemoryError, "what answers is no scheduler"),
    )
    reason = next(reason for kind, reason in kinds if isinstance(error, kind))
    return f'{reason}; check the address, or start a scheduler there with "dask scheduler"'


def _in_order(
    submit: Callable[[list[Work]], _Future], work: Iterator[list[Work]], most: int
) -> Iterator[Any]:
    waiting: deque[_Future] = deque(map(submit, islice(work, most)))
    while waiting:
        yield from waiting.popleft().result()
        waiting.extend(map(submit, islice(work, 1)))


def _let_the_first_process_be_stopped() -> None:
    """Leave Ctrl-C to the process that hands out the work, and end at once when it says so."""
    import signal

    signal.signal(signal.SIGINT, signal.SIG_IGN)
    signal.signal(signal.SIGTERM, signal.SIG_DFL)
