"""What can happen at which stage, and where the case then goes: typed by hand, read by a test.

A row is a kind and, after a colon, the answer that it hangs on; the columns are the 22 stages.

* ``-`` it cannot be reported there
* ``=`` the case stays where it is
* two letters: the stage that it goes back to, or ``ca``, where it ends
* ``?`` the case stays and waits for the dentist, who is asked for a revision
* capitals: the same, and the signed revision brings it back to that stage
"""

from __future__ import annotations

CONVENTIONAL = """
#                              dr se ac tr mc jr mo st su ti fw pr rm fi rl di rc de rv cl dc ca
broken-cast:own                -  -  =  =  =  mc mc mc mc mc mc -  =  rm -  -  -  -  -  -  -  -
broken-cast:opposing           -  -  =  =  =  mc mc mc mc mc mc -  =  rm -  -  -  -  -  -  -  -
disagreeing-record             -  -  -  -  -  -  jr jr jr -  jr -  -  -  -  -  -  -  -  -  -  -
warped-base:record             -  -  -  -  -  mc mc mc mc mc mc -  -  -  -  -  -  -  -  -  -  -
warped-base:later              -  -  -  -  -  mc =  =  =  su su -  -  -  -  -  -  -  -  -  -  -
perforated-tooth               -  -  -  -  -  -  -  -  =  -  su -  =  rm -  -  -  -  -  -  -  -
teeth-out-of-stock:later       -  -  =  =  =  =  =  =  =  -  -  -  -  -  -  -  -  -  -  -  -  -
teeth-out-of-stock:other       -  -  ?  ?  ?  ?  ?  ?  ?  -  -  -  -  -  -  -  -  -  -  -  -  -
shade-or-mould-changed:shade   -  -  -  -  -  -  -  -  ?  SU SU =  =  =  =  -  -  -  -  -  -  -
shade-or-mould-changed:mould   -  -  -  -  -  -  -  -  ?  SU SU =  =  =  =  -  -  -  -  -  -  -
flask-failed:wax               -  -  -  -  -  -  -  -  -  -  -  fw -  -  -  -  -  -  -  -  -  -
flask-failed:teeth             -  -  -  -  -  -  -  -  -  -  -  su -  -  -  -  -  -  -  -  -  -
flask-failed:cast              -  -  -  -  -  -  -  -  -  -  -  mo -  -  -  -  -  -  -  -  -  -
denture-failed:repair          -  -  -  -  -  -  -  -  -  -  -  =  =  rm rm -  rm -  -  -  -  -
denture-failed:again           -  -  -  -  -  -  -  -  -  -  -  mo mo mo mo -  mo -  -  -  -  -
wrong-box                      -  =  =  =  =  =  =  =  =  =  =  =  =  =  =  =  =  -  -  -  -  -
lost-box:impression            -  =  =  =  =  =  -  -  -  -  -  -  -  -  -  -  -  -  -  -  -  -
lost-box:record                -  -  -  -  -  =  jr -  -  -  -  -  -  -  -  -  -  -  -  -  -  -
lost-box:casts                 -  =  =  =  =  mc mc mc mc mc mc -  -  -  -  -  -  -  -  -  -  -
lost-box:wax                   -  -  -  -  -  -  -  -  -  su su -  -  -  -  -  -  -  -  -  -  -
lost-box:denture               -  -  -  -  -  -  -  -  -  -  -  -  -  -  -  mo -  -  -  -  -  -
wrong-patient                  -  =  =  =  =  =  =  =  =  =  =  =  =  =  =  =  =  =  =  -  -  -
tooth-lost-or-changed:own      -  ?  ?  ?  ?  MC MC MC MC MC MC =  =  =  =  =  =  -  -  -  -  -
tooth-lost-or-changed:opposing -  ?  ?  ?  ?  MC MC MC MC MC MC =  =  =  =  =  =  -  -  -  -  -
surgeon-did-otherwise:kept     -  ?  ?  ?  ?  MC MC MC MC MC MC -  -  -  -  -  =  =  =  -  -  -
surgeon-did-otherwise:took     -  ?  ?  ?  ?  MC MC MC MC MC MC -  -  -  -  -  =  =  =  -  -  -
allergy-reported-late          -  ?  ?  ?  ?  ?  ?  ?  ?  ?  ?  =  =  =  =  =  =  =  =  -  -  -
surgery-postponed              -  =  =  =  =  =  =  =  =  =  =  =  =  =  =  =  =  -  -  -  -  -
surgery-cancelled:hold         =  =  =  =  =  =  =  =  =  =  =  =  =  =  =  =  =  -  -  -  -  -
surgery-cancelled:end          ca ca ca ca ca ca ca ca ca ca ca ca ca ca ca ca ca -  -  -  -  -
patient-died:end               ca ca ca ca ca ca ca ca ca ca ca ca ca ca ca ca ca ca ca =  =  =
patient-died:hold              =  =  =  =  =  =  =  =  =  =  =  =  =  =  =  =  =  =  =  =  =  =
"""

#: No try-in exists, and no surgery before the one on which the denture goes in.
INTERIM = """
#                              dr se ac tr mc jr mo st su ti fw pr rm fi rl di rc de rv cl dc ca
broken-cast:own                -  -  =  =  =  mc mc mc mc -  mc -  =  rm -  -  -  -  -  -  -  -
broken-cast:opposing           -  -  =  =  =  mc mc mc mc -  mc -  =  rm -  -  -  -  -  -  -  -
disagreeing-record             -  -  -  -  -  -  jr jr jr -  jr -  -  -  -  -  -  -  -  -  -  -
warped-base:record             -  -  -  -  -  mc mc mc mc -  mc -  -  -  -  -  -  -  -  -  -  -
warped-base:later              -  -  -  -  -  mc =  =  =  -  su -  -  -  -  -  -  -  -  -  -  -
perforated-tooth               -  -  -  -  -  -  -  -  =  -  su -  =  rm -  -  -  -  -  -  -  -
teeth-out-of-stock:later       -  -  =  =  =  =  =  =  =  -  -  -  -  -  -  -  -  -  -  -  -  -
teeth-out-of-stock:other       -  -  ?  ?  ?  ?  ?  ?  ?  -  -  -  -  -  -  -  -  -  -  -  -  -
shade-or-mould-changed:shade   -  -  -  -  -  -  -  -  ?  -  SU =  =  =  =  -  -  -  -  -  -  -
shade-or-mould-changed:mould   -  -  -  -  -  -  -  -  ?  -  SU =  =  =  =  -  -  -  -  -  -  -
flask-failed:wax               -  -  -  -  -  -  -  -  -  -  -  fw -  -  -  -  -  -  -  -  -  -
flask-failed:teeth             -  -  -  -  -  -  -  -  -  -  -  su -  -  -  -  -  -  -  -  -  -
flask-failed:cast              -  -  -  -  -  -  -  -  -  -  -  mo -  -  -  -  -  -  -  -  -  -
denture-failed:repair          -  -  -  -  -  -  -  -  -  -  -  =  =  rm rm -  rm -  -  -  -  -
denture-failed:again           -  -  -  -  -  -  -  -  -  -  -  mo mo mo mo -  mo -  -  -  -  -
wrong-box                      -  =  =  =  =  =  =  =  =  -  =  =  =  =  =  =  =  -  -  -  -  -
lost-box:impression            -  =  =  =  =  =  -  -  -  -  -  -  -  -  -  -  -  -  -  -  -  -
lost-box:record                -  -  -  -  -  =  jr -  -  -  -  -  -  -  -  -  -  -  -  -  -  -
lost-box:casts                 -  =  =  =  =  mc mc mc mc -  mc -  -  -  -  -  -  -  -  -  -  -
lost-box:wax                   -  -  -  -  -  -  -  -  -  -  su -  -  -  -  -  -  -  -  -  -  -
lost-box:denture               -  -  -  -  -  -  -  -  -  -  -  -  -  -  -  mo -  -  -  -  -  -
wrong-patient                  -  =  =  =  =  =  =  =  =  -  =  =  =  =  =  =  =  =  =  -  -  -
tooth-lost-or-changed:own      -  ?  ?  ?  ?  MC MC MC MC -  MC =  =  =  =  =  =  -  -  -  -  -
tooth-lost-or-changed:opposing -  ?  ?  ?  ?  MC MC MC MC -  MC =  =  =  =  =  =  -  -  -  -  -
surgeon-did-otherwise:kept     -  -  -  -  -  -  -  -  -  -  -  -  -  -  -  -  =  =  =  -  -  -
surgeon-did-otherwise:took     -  -  -  -  -  -  -  -  -  -  -  -  -  -  -  -  =  =  =  -  -  -
allergy-reported-late          -  ?  ?  ?  ?  ?  ?  ?  ?  -  ?  =  =  =  =  =  =  =  =  -  -  -
surgery-postponed              -  =  =  =  =  =  =  =  =  -  =  =  =  =  =  =  =  -  -  -  -  -
surgery-cancelled:hold         =  =  =  =  =  =  =  =  =  -  =  =  =  =  =  =  =  -  -  -  -  -
surgery-cancelled:end          ca ca ca ca ca ca ca ca ca -  ca ca ca ca ca ca ca -  -  -  -  -
patient-died:end               ca ca ca ca ca ca ca ca ca -  ca ca ca ca ca ca ca ca ca =  =  =
patient-died:hold              =  =  =  =  =  =  =  =  =  -  =  =  =  =  =  =  =  =  =  =  =  =
"""

#: Who may report what: dentist, office desk, technician, laboratory desk, manager.
WHO = """
#                        D  O  T  L  M
broken-cast              y  y  y  y  y
disagreeing-record       -  -  y  -  y
warped-base              y  -  y  -  y
perforated-tooth         -  -  y  -  y
teeth-out-of-stock       -  -  y  y  y
shade-or-mould-changed   y  y  -  -  -
flask-failed             -  -  y  -  y
denture-failed           y  y  y  -  y
wrong-box                y  y  y  y  y
lost-box                 y  y  y  y  y
wrong-patient            y  y  y  y  y
tooth-lost-or-changed    y  y  -  -  -
surgeon-did-otherwise    y  y  -  -  -
allergy-reported-late    y  y  y  y  y
surgery-postponed        y  y  -  -  -
surgery-cancelled        y  y  -  -  -
patient-died             y  y  -  -  -
"""


def rows(table: str) -> dict[str, list[str]]:
    """A table as its rows by name; the line with the names of the columns is left out."""
    found = {}
    for line in table.strip().splitlines():
        name, *cells = line.split()
        if not name.startswith("#"):
            found[name] = cells
    return found
