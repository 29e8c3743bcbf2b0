"""Spreadsheets on this side: what a person has on disk, to and from the text that is sent."""
