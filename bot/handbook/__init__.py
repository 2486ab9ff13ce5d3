"""Data that a baker can read and change. No logic beyond opening a file."""
