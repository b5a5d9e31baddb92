"""Who does the work of a fleet: this process with a few threads, or Dask on as many machines as it has. The function is the same."""

from __future__ import annotations

import os
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from typing import TYPE_CHECKING, TypeVar

from ventwright.errors import Refusal, Refused

if TYPE_CHECKING:
    from distributed import Client, LocalCluster

T = TypeVar("T")
R = TypeVar("R")

ENGINES = ("here", "dask")

MOST_HERE = 4
"""Units at a time in this process: what judges them by columns lets threads go on beside one another (our own choice)."""


KEEPS, KEPT = ("MALLOC_TRIM_THRESHOLD_", "MALLOC_MMAP_THRESHOLD_"), 1 << 30
"""What tells the C library to keep freed memory, and up to how many bytes (glibc, mallopt(3))."""


def run(
    function: Callable[[T], R],
    tasks: Sequence[T],
    engine: str = "here",
    *,
    scheduler: str = "",
    workers: int = 0,
) -> Iterator[R]:
    """Yield what a pure function gives for every task, in the order of the tasks.

    Parameters
    ----------
    function
        Pure, and such that it pickles.
    tasks
        What it is given, one after another.
    engine
        "here" or "dask".
    scheduler
        Address of a Dask scheduler that is up; left out, a cluster on this machine is started for the time of it.
    workers
        Units at a time; 0 for as many as the machine has processors, here at most four.

    Raises
    ------
    Refused
        Dask is asked for and not installed, or its scheduler does not answer.
    """
    count = workers or os.cpu_count() or 1
    if engine == "dask":
        with _client(scheduler, count) as client:
            futures = client.map(function, tasks, pure=False)
            for future in futures:
                result: R = future.result()
                yield result
                future.release()  # type: ignore[no-untyped-call]
        return
    from concurrent.futures import ThreadPoolExecutor

    with ThreadPoolExecutor(min(count, MOST_HERE)) as pool:
        ahead = [pool.submit(function, one) for one in tasks[: 2 * MOST_HERE]]
        for number in range(len(tasks)):
            done = ahead.pop(0)
            if number + 2 * MOST_HERE < len(tasks):
                ahead.append(pool.submit(function, tasks[number + 2 * MOST_HERE]))
            yield done.result()


@contextmanager
def _client(scheduler: str, workers: int) -> Iterator[Client]:
    """Open a cluster: one that is up, or one on this machine for the time of it."""
    try:
        from distributed import Client
    except ImportError:
        accepted = "--engine here, or an installation with the extra fleet"
        raise Refused(
            Refusal("needs the package dask, which is not installed", accepted, "--engine dask")
        ) from None
    if scheduler:
        try:
            client = Client(scheduler, timeout=10)  # type: ignore[no-untyped-call]
        except (OSError, ValueError, TimeoutError):
            accepted = "the address of a scheduler that is up, such as tcp://10.0.0.5:8786"
            raise Refused(Refusal("does not answer", accepted, "--scheduler", scheduler)) from None
        with client:
            yield client
        return
    with cluster_here(workers) as cluster, Client(cluster) as client:  # type: ignore[no-untyped-call]
        yield client


def cluster_here(workers: int) -> LocalCluster:
    """Start a cluster on this machine whose workers keep the memory that they will need again.

    Dask has them give back every free page at once; arrays made and thrown away a thousand times then take twice the time.
    """
    import dask
    from distributed import LocalCluster

    with dask.config.set({f"distributed.nanny.pre-spawn-environ.{name}": KEPT for name in KEEPS}):
        return LocalCluster(  # type: ignore[no-untyped-call]
            n_workers=workers, threads_per_worker=1, processes=True, dashboard_address=None
        )
