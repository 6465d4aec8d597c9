"""Shore services, generators and alternators: what to program, what runs, how long charging takes."""
