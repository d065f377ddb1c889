"""Many settings at once: one array for each number, instead of one object for each draw."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, fields, replace
from typing import Any, overload

import numpy as np
import numpy.typing as npt

from occlusion.articulator import ArticulatorSettings
from occlusion.frames import Array


@dataclass(frozen=True, eq=False)
class SettingsArrays(Sequence[ArticulatorSettings]):
    """The numbers of many settings, each array of shape (draws,), points (draws, 3).

    A sequence of ``ArticulatorSettings`` for whoever wants them one by one. The numbers
    are those of checked settings, or drawn within the same limits; they are not checked
    again here.

    Attributes
    ----------
    intercondylar_mm : ndarray
        Distance of the condyles.
    inclination_right_deg, inclination_left_deg, bennett_right_deg, bennett_left_deg,
    shift_right_mm, shift_left_mm : ndarray
        The condylar paths as read.
    table_deg, wing_right_deg, wing_left_deg : ndarray
        The table as read; wings by excursion.
    table_on_lower : ndarray of bool
        Which member carries it.
    guided_point_mm : ndarray
        The point that the table guides.
    pin_opening_mm, tilt_deg : ndarray
        Opening of the pin, tilt of the reference plane.
    alike : tuple of ArticulatorSettings
        One for each draw, or one for all: what no number tells.
    """

    intercondylar_mm: Array
    inclination_right_deg: Array
    inclination_left_deg: Array
    bennett_right_deg: Array
    bennett_left_deg: Array
    shift_right_mm: Array
    shift_left_mm: Array
    table_deg: Array
    wing_right_deg: Array
    wing_left_deg: Array
    table_on_lower: npt.NDArray[np.bool_]
    guided_point_mm: Array
    pin_opening_mm: Array
    tilt_deg: Array
    alike: tuple[ArticulatorSettings, ...]

    @classmethod
    def of(cls, several: Sequence[ArticulatorSettings]) -> SettingsArrays:
        """The numbers of these settings; arrays stay as they are."""
        if isinstance(several, SettingsArrays):
            return several
        rows = [
            (
                one.intercondylar_mm,
                one.right.inclination_deg,
                one.left.inclination_deg,
                one.right.bennett_deg,
                one.left.bennett_deg,
                one.right.immediate_side_shift_mm,
                one.left.immediate_side_shift_mm,
                one.table.sagittal_deg,
                one.table.wing_right_excursion_deg,
                one.table.wing_left_excursion_deg,
                one.table.mounted_on == "lower",
                *one.guided_point_mm,
                one.pin_opening_mm,
                one.reference_plane.tilt_deg,
            )
            for one in several
        ]
        table = np.array(rows, dtype=float).reshape(-1, 16).T
        numbers: dict[str, Any] = dict(zip(_COLUMNS, table, strict=True))
        on_lower, *point = (numbers.pop(name) for name in _COLUMNS[10:14])
        return cls(
            **numbers,
            table_on_lower=on_lower > 0,
            guided_point_mm=np.stack(point, axis=-1),
            alike=tuple(several),
        )

    def repeated(self, times: int) -> SettingsArrays:
        """A single set of settings, as many times."""
        numbers = {name: np.repeat(array, times, axis=0) for name, array in self._numbers().items()}
        return SettingsArrays(**numbers, alike=self.alike)

    def __len__(self) -> int:
        return int(self.intercondylar_mm.shape[0])

    @overload
    def __getitem__(self, index: int) -> ArticulatorSettings: ...
    @overload
    def __getitem__(self, index: slice) -> SettingsArrays: ...
    def __getitem__(self, index: int | slice) -> ArticulatorSettings | SettingsArrays:
        if isinstance(index, slice):
            alike = self.alike if len(self.alike) == 1 else self.alike[index]
            numbers = {name: array[index] for name, array in self._numbers().items()}
            return SettingsArrays(**numbers, alike=alike)
        at = range(len(self))[index]
        like = self.alike[0] if len(self.alike) == 1 else self.alike[at]
        return replace(
            like,
            intercondylar_mm=float(self.intercondylar_mm[at]),
            right=replace(
                like.right,
                inclination_deg=float(self.inclination_right_deg[at]),
                bennett_deg=float(self.bennett_right_deg[at]),
                immediate_side_shift_mm=float(self.shift_right_mm[at]),
            ),
            left=replace(
                like.left,
                inclination_deg=float(self.inclination_left_deg[at]),
                bennett_deg=float(self.bennett_left_deg[at]),
                immediate_side_shift_mm=float(self.shift_left_mm[at]),
            ),
            table=replace(
                like.table,
                sagittal_deg=float(self.table_deg[at]),
                wing_right_excursion_deg=float(self.wing_right_deg[at]),
                wing_left_excursion_deg=float(self.wing_left_deg[at]),
            ),
            pin_opening_mm=float(self.pin_opening_mm[at]),
        )

    def _numbers(self) -> dict[str, Any]:
        return {one.name: getattr(self, one.name) for one in fields(self) if one.name != "alike"}


_COLUMNS = (
    "intercondylar_mm",
    "inclination_right_deg",
    "inclination_left_deg",
    "bennett_right_deg",
    "bennett_left_deg",
    "shift_right_mm",
    "shift_left_mm",
    "table_deg",
    "wing_right_deg",
    "wing_left_deg",
    *("on_lower", "x", "y", "z"),
    "pin_opening_mm",
    "tilt_deg",
)
"""What ``SettingsArrays.of`` reads of each set of settings, in this order."""
