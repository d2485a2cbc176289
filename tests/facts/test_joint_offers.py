"""Which part an interface is said to be of: the bolts, where they stand between two parts."""

import pytest

from selector.inference.answer import Desk
from selector.inference.judge import Judge
from selector.jobs.read import read_job
from selector.knowledge.base import Base
from tests.conftest import ROOT

JOINTS = {  # joint -> what is said, and the part whose file and line it names
    "bolt-1": ("bolt-1 offers demo/slot", "kb/catalogues/demo/bolt-sets.yaml"),
    "mc-2": ("rail-s offers demo/top-groove", "kb/catalogues/demo/rails.yaml"),
}


@pytest.mark.parametrize("through", JOINTS)
def test_an_interface_is_of_the_part_that_offers_it(base: Base, judge: Judge, through: str) -> None:
    job = read_job(ROOT / "examples/round-hall/job.yaml", base.vocabulary)
    option = Desk(base, job, judge).stack("without-insert").options[0]
    [view] = [
        j.view
        for j in option.judgements
        if j.subject.kind == "joint" and through in j.subject.id.partition(" for ")[0]
    ]
    [[fact]] = view.read("joint.offered").because
    shown, file = JOINTS[through]
    assert fact.shown == shown
    assert fact.origin.startswith(f"{file}:")
    assert fact.entity == f"demo/{shown.partition(' ')[0]}"
