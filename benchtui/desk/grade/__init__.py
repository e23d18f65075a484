"""Grades and faults."""
