"""Processes that lay out pages beside the main one."""
