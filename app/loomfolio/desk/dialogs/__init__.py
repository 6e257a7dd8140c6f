"""The dialogs of the desk: each shows one record of the document, and makes one step of it."""
