"""NEC 430.7(B) code letters: an exam-study text on 430.110(C)(2).

30 hp, 460 V, three-phase, code letter G (6.29 kVA/hp at its upper end): 236.8 A locked rotor.
Status: seen in a public text; letter and range agree with NEC table 430.7(B).
"""

from collections.abc import Callable

from ampwright.kernels.inrush import code_letter_current_a

Check = Callable[..., None]


def test_30_hp_letter_g(printed: Check) -> None:
    ours = code_letter_current_a(30, 6.29, 460, phases=3)
    printed("30 hp, 460 V, letter G", 236.8, ours, "A", within=0.06)
