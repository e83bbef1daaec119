"""Predictions, exercises, progress, lessons: the workbook as a course."""
