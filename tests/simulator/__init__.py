"""A brute-force second opinion: plays cars part by part. Shares no code with what it checks."""
