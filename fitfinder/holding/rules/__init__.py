"""The rules of holding, each for all ways alike: what is said, cautioned, ranked behind or refused."""
