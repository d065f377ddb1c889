"""Record keeping and bench arithmetic for immediate-denture laboratory cases.

The project package and its only application with models. Lowest floor first: enums, notation
and codes; validators; models; domain; forms and outputs; views and commands; urls. A floor
imports lower floors only; DEVELOPERS.md has the plan and a check holds it.
"""

__version__ = "0.2.0"
