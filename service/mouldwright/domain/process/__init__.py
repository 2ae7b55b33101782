"""How a part is made: operations, holds, moulds and what each takes."""
