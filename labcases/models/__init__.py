"""Everything that a case holds. One noun, one file; no sentences with a verb here."""

from labcases.models.arrangement import ArrangementChange
from labcases.models.articulator import ArticulatorRecord, Mounting, PastMounting
from labcases.models.bench_devices import BenchDevice, BenchKey, PinTries
from labcases.models.box import Box, BoxItem, Disinfection, Settlement
from labcases.models.case import Appointment, Case, Patient, PatientName
from labcases.models.casts import Cast, CastLook, Impression, Piece
from labcases.models.complaint import Complaint, ComplaintEntry
from labcases.models.curing import CuringCycle, ProcessingRun, ProcessingStep, UsedMaterial
from labcases.models.date_move import DateMove
from labcases.models.delivery import ArrivalCheck, Delivery, Surgery
from labcases.models.desk import DeskRow
from labcases.models.erasure import Erasure
from labcases.models.feeds import CalendarFeed, FeedEntry
from labcases.models.files import Attachment
from labcases.models.finding import CheckRun, MarksCompared
from labcases.models.finishing import Finishing, MarkText
from labcases.models.history import AppendOnly, ChainHead, HistoryEntry
from labcases.models.house_history import HouseEntry
from labcases.models.incident import IdentityLook, Incident, IncidentRead
from labcases.models.jaw_records import TakenRecord
from labcases.models.line_photographs import LinePhotograph
from labcases.models.linking import CaseLink
from labcases.models.load import BenchMinutes, BenchTask
from labcases.models.marks import Mark
from labcases.models.materials import OwnMaterial
from labcases.models.people import (
    DemoMark,
    HouseDay,
    Invitation,
    Membership,
    OfficeLink,
    Organisation,
    User,
)
from labcases.models.prescription import PrescribingDefaults, Prescription
from labcases.models.processing import FinalWax, Handoff
from labcases.models.proposal import Proposal
from labcases.models.question import Question, QuestionEntry, QuestionRead
from labcases.models.records import CheckRecord
from labcases.models.release import Release, ReleaseLot
from labcases.models.reminders import Reminder
from labcases.models.remount import RemountCheck, RemountEntry
from labcases.models.review import Remake, ReviewEntry
from labcases.models.setup import SetUpEntry
from labcases.models.signed_papers import PaperDentist, SignedPaper
from labcases.models.statement import DeviceStatement
from labcases.models.stock import StockFile, StockLine, ToothSet
from labcases.models.teeth import SiteMeasure, ToothSelection
from labcases.models.tooth_orders import TeethSupply
from labcases.models.trimming import CastTrim, ToothTrim
from labcases.models.tryin import BenchCheck, TryIn

__all__ = [
    "AppendOnly",
    "Appointment",
    "ArrangementChange",
    "ArrivalCheck",
    "ArticulatorRecord",
    "Attachment",
    "BenchCheck",
    "BenchDevice",
    "BenchKey",
    "BenchMinutes",
    "BenchTask",
    "Box",
    "BoxItem",
    "CalendarFeed",
    "Case",
    "CaseLink",
    "Cast",
    "CastLook",
    "CastTrim",
    "ChainHead",
    "CheckRecord",
    "CheckRun",
    "Complaint",
    "ComplaintEntry",
    "CuringCycle",
    "DateMove",
    "Delivery",
    "DemoMark",
    "DeskRow",
    "DeviceStatement",
    "Disinfection",
    "Erasure",
    "FeedEntry",
    "FinalWax",
    "Finishing",
    "Handoff",
    "HistoryEntry",
    "HouseDay",
    "HouseEntry",
    "IdentityLook",
    "Impression",
    "Incident",
    "IncidentRead",
    "Invitation",
    "LinePhotograph",
    "Mark",
    "MarkText",
    "MarksCompared",
    "Membership",
    "Mounting",
    "OfficeLink",
    "Organisation",
    "OwnMaterial",
    "PaperDentist",
    "PastMounting",
    "Patient",
    "PatientName",
    "Piece",
    "PinTries",
    "PrescribingDefaults",
    "Prescription",
    "ProcessingRun",
    "ProcessingStep",
    "Proposal",
    "Question",
    "QuestionEntry",
    "QuestionRead",
    "Release",
    "ReleaseLot",
    "Remake",
    "Reminder",
    "RemountCheck",
    "RemountEntry",
    "ReviewEntry",
    "SetUpEntry",
    "Settlement",
    "SignedPaper",
    "SiteMeasure",
    "StockFile",
    "StockLine",
    "Surgery",
    "TakenRecord",
    "TeethSupply",
    "ToothSelection",
    "ToothSet",
    "ToothTrim",
    "TryIn",
    "UsedMaterial",
    "User",
]
