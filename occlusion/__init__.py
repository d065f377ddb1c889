"""Engine of the clearance check: how a lower member moves, and what meets what.

Pure computation on numpy. Conventions, everywhere:

- millimetres and degrees; the unit stands in every name (``_mm``, ``_deg``);
- axes x forward, y to the patient's left, z up, origin midway between the condyles;
- the lower member moves, the upper one stands still; movements are counted from closed
  maximum intercuspation;
- right and left are the patient's; condylar inclination, Bennett angle and side shift
  belong to the condyle they are named by, a wing to the excursion it is named by;
- a positive hinge angle opens, a negative gap is an interference of that depth;
- teeth are ISO 3950 numbers as text, ``"16"``.

Everything is a laboratory proposal from a rigid model: the prescribing dentist decides.
"""

__version__ = "0.1.0"
