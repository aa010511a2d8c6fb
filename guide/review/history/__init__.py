"""Several performances of one class beside each other: `performances` what each tells, `findings` what keeps coming."""
