"""Looking at a real vehicle: what is asked, the face of a connector, and one letter for each answer."""
