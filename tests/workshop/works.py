"""A kind of long work for tests: it counts, and does what the test wants of it at each stage."""

import pytest

from workshop import jobs


@pytest.fixture
def counting(monkeypatch):
    """Registers the work; `counting.at[2] = act` is called before stage 2 is reported."""

    class Counting:
        at, begun = {}, 0

        def work(self, running):
            self.begun += 1
            for stage in range(1, running.job.total):
                self.at.get(stage, lambda: None)()
                running.report(stage, f"Strip {stage}")
            return {"strips": running.job.total}

    found = Counting()
    found.at = {}
    monkeypatch.setitem(jobs.KINDS, "count", jobs.Kind(found.work, lambda job: f"/where/{job.key}/"))
    return found
