"""The series that figures show, and the schedule of equipment with its diagrams."""
