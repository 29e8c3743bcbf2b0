"""Readings that come by themselves: from a broker, or from a logger's file as it grows."""
