"""A trainer's work on the page: practice, guided diagnosis, papers, marking. `course` and `quiz` say what is asked and told."""
