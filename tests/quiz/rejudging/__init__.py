"""A second judge of printed questions: reads a paper back and works every option out by formulas of its own.

Nothing here imports the program. What is judged stands on the paper, or in a published standard that is named.
"""
