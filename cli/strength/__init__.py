"""What members are made of, what gives way first and where to put the wood, as the commands say it."""
