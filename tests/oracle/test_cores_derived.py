"""The cores of the shipped catalogues, walked by the graph and derived by a solver.

The solver gets parts, interfaces and the joints that the judge forbids on a roof, and its own
grammar of a stack; it shares no code with the walk.
"""

import json

import pytest

from selector.inference.answer import Desk
from selector.inference.judge import Judge
from selector.knowledge.base import Base, Part
from selector.model.stack import Joint
from selector.model.truth import Word
from tests.inference.test_again import job_named

clingo = pytest.importorskip("clingo", reason="the extra `logic` is not installed")

# at(K, last, bolts, A1, A2, B, R, F, X, U): a walk that has come to layer K.
GRAMMAR = """
after(clamp,first). after(first,second). after((clamp;first;second),(bolts;rail)).
after(bolts,rail). after(rail,frame) :- framed. after(rail,cross) :- crossed, not framed.
after(frame,cross) :- crossed. after(cross,upper).
ends((clamp;first;second;rail)) :- not framed. ends((frame;upper)).
holds((first;second),adapter). holds(bolts,bolts). holds((rail;upper),rail).
holds(frame,frame). holds(cross,cross).

at(clamp,C,none,none,none,none,none,none,none,none) :- above(C).
step(K,L,P) :- after(K,L), holds(L,S), part(P,S).
meets(P,Q) :- offers(P,I), takes(Q,I).

at(bolts,L,P,A,B,P,R,F,X,U) :- at(K,L,none,A,B,none,R,F,X,U), step(K,bolts,P), meets(L,P).
at(first,P,none,P,B,T,R,F,X,U) :- at(K,L,none,none,B,T,R,F,X,U), step(K,first,P), meets(L,P),
  not dead(L,none,P).
at(second,P,none,A,P,T,R,F,X,U) :- at(K,L,none,A,none,T,R,F,X,U), step(K,second,P), meets(L,P),
  not dead(L,none,P).
at(rail,P,none,A,B,T,P,F,X,U) :- at(K,L,none,A,B,none,none,F,X,U), step(K,rail,P), meets(L,P),
  not dead(L,none,P), T = none.
at(rail,P,none,A,B,T,P,F,X,U) :- at(bolts,L,T,A,B,T,none,F,X,U), step(bolts,rail,P), meets(T,P),
  not dead(L,T,P).
at(frame,P,none,A,B,T,R,P,X,U) :- at(K,L,none,A,B,T,R,none,X,U), step(K,frame,P), meets(L,P),
  not dead(L,none,P).
at(cross,P,none,A,B,T,R,F,P,U) :- at(K,L,none,A,B,T,R,F,none,U), step(K,cross,P), meets(L,P),
  not dead(L,none,P).
at(upper,P,none,A,B,T,R,F,X,P) :- at(K,L,none,A,B,T,R,F,X,none), step(K,upper,P), meets(L,P),
  not dead(L,none,P).
core(A,B,T,R,F,X,U) :- at(K,L,none,A,B,T,R,F,X,U), ends(K), meets(L,M), part(M,module_clamp).
#show core/7.
"""


def derived(
    parts: list[Part], clamp: Part, dead: set[Joint], shape: tuple[bool, bool]
) -> set[object]:
    """Fillings above a clamp as the solver derives them."""

    def text(name: str | None) -> str:
        return "none" if name is None else json.dumps(name)

    facts = [f"above({text(clamp.id)})."]
    facts += [flag for flag, on in zip(("framed.", "crossed."), shape, strict=True) if on]
    for part in parts:
        facts.append(f"part({text(part.id)},{part.slot}).")
        facts += [f"takes({text(part.id)},{text(name)})." for name in part.takes]
        if part.interface:
            facts.append(f"offers({text(part.id)},{text(part.interface)}).")
    facts += [f"dead({text(j.lower)},{text(j.bolts)},{text(j.upper)})." for j in dead]
    control = clingo.Control(["--warn=none"])
    control.add("base", [], GRAMMAR + "\n".join(facts))
    control.ground([("base", [])])
    found: set[object] = set()
    with control.solve(yield_=True) as models:
        for model in models:
            for atom in model.symbols(shown=True):
                found.add(
                    tuple(None if a.type.name == "Function" else a.string for a in atom.arguments)
                )
    return found


@pytest.mark.parametrize("name", ["mill-house", "case-yard", "round-hall"])
@pytest.mark.parametrize("shape", [(False, False), (True, False), (False, True), (True, True)])
def test_a_solver_derives_the_same_cores(
    base: Base, judge: Judge, name: str, shape: tuple[bool, bool]
) -> None:
    from selector.inference.answer import Finder
    from selector.inference.cores import CLAMP, Shape, Walk

    job = job_named(base, name)
    desk = Desk(base, job, judge)
    finder = Finder(desk, job.arrays["a1"])
    graph = desk.stock.graph
    parts = list(graph.parts.values())
    total = 0
    for clamp in (p for p in parts if p.slot == "clamp"):
        dead: set[Joint] = set()

        def stands(
            lower: str, bolts: str | None, upper: str, clamp: Part = clamp, dead: set[Joint] = dead
        ) -> bool:
            joint = Joint(lower, bolts, upper)
            judged = finder.judge(
                "joint", f"{joint.id} for {clamp.handle}", joint=joint, clamp=clamp
            )
            if judged.word(True) == Word.FORBIDDEN:
                dead.add(joint)
            return joint not in dead

        walked = Walk(graph, Shape(*shape), stands).above(CLAMP, clamp.id)
        assert len(walked) == len(set(walked))
        assert set(walked) == derived(parts, clamp, dead, shape), clamp.id
        total += len(walked)
    assert total > 0 or shape[0], "some clamp carries something"
