"""The Qt program. Nothing here holds knowledge of the trade: it shows, and turns gestures to edits."""
