"""Every choice that a record can hold, in the words of the trade.

The stored value is the word that stands on screens and papers, so that a dump of
the database can be read without these files.
"""

from labcases.enums.articulator import (
    CheckKind,
    CheckRecordKind,
    FrontGuide,
    ReferencePlane,
    SettingsOrigin,
    SpaceFrom,
    TableMember,
)
from labcases.enums.boxes import BoxContent, BoxDirection
from labcases.enums.case import (
    ENDED_EARLY,
    ENDS,
    AppointmentKind,
    AppointmentStatus,
    EntryKind,
    Side,
    Stage,
)
from labcases.enums.casts import (
    CastKind,
    CastState,
    PieceKind,
    RecordKind,
    ReturnTo,
    TransferMethod,
    Verification,
)
from labcases.enums.incidents import IncidentEffect, IncidentGroup, Thing
from labcases.enums.papers import AttachmentKind, PaperKind, PhotographView
from labcases.enums.people import (
    AskedBy,
    BenchKeyKind,
    HouseDayKind,
    Notation,
    OrganisationKind,
    PaperSize,
    Position,
    Role,
)
from labcases.enums.prescription import (
    Allergy,
    Arch,
    BaseMaterial,
    Flange,
    JawRecord,
    OpposingTooth,
    PrescriptionStatus,
    Route,
    Scheme,
    SetUpOrder,
    ToothMaterial,
    ToothStatus,
    TryInWish,
)
from labcases.enums.setup import Movement, SetUpAct, SetUpPart, TryInOutcome
from labcases.enums.trimming import TrimMethod

__all__ = [
    "ENDED_EARLY",
    "ENDS",
    "Allergy",
    "AppointmentKind",
    "AppointmentStatus",
    "Arch",
    "AskedBy",
    "AttachmentKind",
    "BaseMaterial",
    "BenchKeyKind",
    "BoxContent",
    "BoxDirection",
    "CastKind",
    "CastState",
    "CheckKind",
    "CheckRecordKind",
    "EntryKind",
    "Flange",
    "FrontGuide",
    "HouseDayKind",
    "IncidentEffect",
    "IncidentGroup",
    "JawRecord",
    "Movement",
    "Notation",
    "OpposingTooth",
    "OrganisationKind",
    "PaperKind",
    "PaperSize",
    "PhotographView",
    "PieceKind",
    "Position",
    "PrescriptionStatus",
    "RecordKind",
    "ReferencePlane",
    "ReturnTo",
    "Role",
    "Route",
    "Scheme",
    "SetUpAct",
    "SetUpOrder",
    "SetUpPart",
    "SettingsOrigin",
    "Side",
    "SpaceFrom",
    "Stage",
    "TableMember",
    "Thing",
    "ToothMaterial",
    "ToothStatus",
    "TransferMethod",
    "TrimMethod",
    "TryInOutcome",
    "TryInWish",
    "Verification",
]
