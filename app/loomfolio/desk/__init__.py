"""The Qt program: it shows, and turns gestures to edits. No knowledge of the trade lies here.

Its doors are `run_desk` and `screenshot`; Qt itself is imported only behind them.
"""

from loomfolio.desk.main import run_desk
from loomfolio.desk.screenshot import screenshot

__all__ = ["run_desk", "screenshot"]
