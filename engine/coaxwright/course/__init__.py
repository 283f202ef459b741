"""The trainer's course: lessons, practice, guided diagnosis, exams and their marking; built on `quiz` and `diagnosis`."""
