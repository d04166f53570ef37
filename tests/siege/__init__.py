"""The siege: proofs in full that nothing that was acknowledged is lost."""
