"""What every room needs: errors, positions in px and in mm, where the assets lie."""

from loomfolio.basics.assets import asset_path, demo_projects_path
from loomfolio.basics.errors import (
    DocumentError,
    EditError,
    FileUnreadableError,
    LimitExceededError,
    LoomfolioError,
    NameNotFoundError,
    PasswordNeededError,
    ProjectBusyError,
    UsageError,
    WorkCancelledError,
)
from loomfolio.basics.positions import (
    MM_PER_INCH,
    MmBox,
    MmPoint,
    PxBox,
    PxPoint,
    Resolution,
)

__all__ = [
    "MM_PER_INCH",
    "DocumentError",
    "EditError",
    "FileUnreadableError",
    "LimitExceededError",
    "LoomfolioError",
    "MmBox",
    "MmPoint",
    "NameNotFoundError",
    "PasswordNeededError",
    "ProjectBusyError",
    "PxBox",
    "PxPoint",
    "Resolution",
    "UsageError",
    "WorkCancelledError",
    "asset_path",
    "demo_projects_path",
]
