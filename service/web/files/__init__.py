"""Files: tables from people and instruments, tables for spreadsheets, calendars."""
