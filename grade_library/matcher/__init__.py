"""The matcher: facts in, likelihoods, hypotheses, verdict out. Entered by `matching.identify`."""
