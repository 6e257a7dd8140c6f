"""The Qt program: it shows, and turns gestures to edits. No knowledge of the trade lies here.

Its door is `run_desk`; Qt itself is imported only behind it.
"""

from loomfolio.desk.main import run_desk

__all__ = ["run_desk"]
