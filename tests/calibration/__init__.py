"""Simulation-based calibration: cars whose truth is known, looked at by an inspector, then assessed."""
