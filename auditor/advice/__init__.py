"""What brings a picture to its plan or to its set: chosen from the readings, tried, then offered.

`case` says what a picture lacks, `first_choices` and `cropping` what might help, `judging` what a
change that was tried brings and loses, `costs` what it takes. `trying` goes round by round.
"""
