"""The Qt program: it shows, and turns gestures to edits. No knowledge of the trade lies here."""
