"""The append-only record: facts, hash chain, store, fold, photos, backup, export."""
