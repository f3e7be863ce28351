"""Why a demand can't be met, and the nearest that can: conflicts, their proofs, corrections."""
