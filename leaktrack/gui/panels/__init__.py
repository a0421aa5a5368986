"""What stands round the work area: logbook, engine sheet, joint strip, messages."""
