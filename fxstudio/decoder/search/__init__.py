"""The codes that serve an effect best: what may serve, what it costs, the least sum of costs."""
