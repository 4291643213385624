"""One module per thing a person does; the only floor where engines and files meet."""
