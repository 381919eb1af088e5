"""Readings of the finished job, from the command line or a file."""
